package check

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"gridwright/internal/design"
)

// unpropagated names the tolerances of the file that no figure takes account of:
// they are no inputs of the model.
func unpropagated(j *judge) []Finding {
	known := []string{"placement-tolerance", "temperature.gradient"} // in the placements, in the temperature bands
	for _, in := range j.r.Model.Inputs {
		known = append(known, in.Place.Path)
	}
	var left []string
	eachNumber(reflect.ValueOf(*j.d), func(n design.Number) {
		path := n.Place.Path
		if n.Tolerance == 0 || path == "" || slices.Contains(left, path) {
			return
		}
		if !slices.ContainsFunc(known, func(k string) bool {
			rest, ok := strings.CutPrefix(path, k)
			return ok && (rest == "" || rest[0] == '[' || rest[0] == '.')
		}) {
			left = append(left, path)
		}
	})
	if len(left) == 0 {
		return nil
	}
	slices.Sort(left)
	return []Finding{{
		Level:   Note,
		Message: fmt.Sprintf("the tolerance of %s is not propagated: no uncertainty and no interval takes account of it", list(left)),
		Remedy:  "judge it apart, or predict with the value at its limits",
	}}
}

// eachNumber visits the numbers of a design, wherever they stand.
func eachNumber(v reflect.Value, visit func(design.Number)) {
	switch v.Kind() {
	case reflect.Struct:
		if n, ok := v.Interface().(design.Number); ok {
			visit(n)
			return
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				eachNumber(v.Field(i), visit)
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			eachNumber(v.Index(i), visit)
		}
	}
}
