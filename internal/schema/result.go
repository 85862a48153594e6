package schema

import (
	"fmt"
	"path"
	"reflect"
	"strings"

	"gridwright/internal/calibration"
	"gridwright/internal/check"
	"gridwright/internal/dossier"
	"gridwright/internal/work"
)

// Result is the schema of a prediction as `predict --json` prints it, made of the
// Go types that it is written from. A figure that may be undefined may be null.
func Result() ([]byte, error) {
	w := &types{names: map[reflect.Type]string{}}
	root, err := w.of(reflect.TypeFor[dossier.Result]())
	if err != nil {
		return nil, err
	}
	schema := object{
		{"$schema", draft},
		{"$id", "urn:gridwright:result:1"},
		{"title", "gridwright result"},
		{"description", "What `predict --json` prints: full precision, undefined figures null; sensitivities are in mV/V per N·m (moments), N (forces) or Pa (pressure)."},
	}
	return indented(append(append(schema, root...), member{"$defs", w.defs}))
}

// types turns Go types into schemas; structs become definitions.
type types struct {
	defs  object
	names map[reflect.Type]string
}

func nullable(o object) object {
	for i, m := range o {
		if m.key == "type" {
			o[i].value = []any{m.value, "null"}
			return o
		}
	}
	return object{{"anyOf", []object{o, {{"type", "null"}}}}}
}

func (w *types) of(t reflect.Type) (object, error) {
	switch t.Kind() {
	case reflect.String:
		return object{{"type", "string"}}, nil
	case reflect.Bool:
		return object{{"type", "boolean"}}, nil
	case reflect.Int, reflect.Int64, reflect.Uint64:
		return object{{"type", "integer"}}, nil
	case reflect.Float64:
		return object{{"type", "number"}}, nil
	case reflect.Pointer:
		o, err := w.of(t.Elem())
		return nullable(o), err
	case reflect.Slice:
		of, err := w.of(t.Elem())
		return object{{"type", []any{"array", "null"}}, {"items", of}}, err
	case reflect.Array:
		of, err := w.of(t.Elem())
		return object{{"type", "array"}, {"items", of}, {"minItems", t.Len()}, {"maxItems", t.Len()}}, err
	case reflect.Map:
		of, err := w.of(t.Elem())
		return object{{"type", []any{"object", "null"}}, {"additionalProperties", of}}, err
	case reflect.Struct:
		return w.defined(t)
	case reflect.Interface:
		return object{}, nil
	}
	return nil, fmt.Errorf("schema: no JSON of the type %v is known", t)
}

// defined refers to the definition of a struct; that of the whole result stands
// at the root.
func (w *types) defined(t reflect.Type) (object, error) {
	if t == reflect.TypeFor[dossier.Result]() {
		return w.structure(t)
	}
	name := w.names[t]
	if name == "" {
		name = strings.ToLower(strings.TrimPrefix(t.Name(), "Published"))
		for _, other := range w.names {
			if other == name { // of another package
				name = path.Base(t.PkgPath()) + "-" + name
			}
		}
		w.names[t] = name
		o := finding()
		if t != reflect.TypeFor[check.Finding]() { // which writes itself
			var err error
			if o, err = w.structure(t); err != nil {
				return nil, err
			}
		}
		w.defs = append(w.defs, member{name, o})
	}
	return object{{"$ref", "#/$defs/" + name}}, nil
}

func (w *types) structure(t reflect.Type) (object, error) {
	properties := object{}
	var required []string
	for i := range t.NumField() {
		f := t.Field(i)
		key, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		if key == "" || key == "-" {
			return nil, fmt.Errorf("schema: %v.%s has no JSON name", t, f.Name)
		}
		t := f.Type
		if t.Kind() == reflect.Interface && carried[key] != nil {
			t = carried[key]
		}
		of, err := w.of(t)
		if err != nil {
			return nil, err
		}
		if unit := unitOf(key); unit != "" {
			of = append(object{{"description", "In " + unit + "."}}, of...)
		}
		properties = append(properties, member{key, of})
		if !strings.Contains(options, "omitempty") {
			required = append(required, key)
		}
	}
	return object{{"type", "object"}, {"properties", properties}, {"required", required}, {"additionalProperties", false}}, nil
}

// carried is what a field of an interface's type holds, by its key.
// A field that is not named may hold anything.
var carried = map[string]reflect.Type{
	"work":          reflect.TypeFor[[]work.PublishedChapter](),
	"as_calibrated": reflect.TypeFor[*calibration.AsCalibrated](),
}

// finding is how check.Finding writes itself.
func finding() object {
	text, number := object{{"type", "string"}}, object{{"type", []string{"number", "null"}}}
	var rules []string
	for _, r := range check.Rules {
		rules = append(rules, r.Name)
	}
	return object{{"type", "object"}, {"properties", object{
		{"level", object{{"enum", []check.Level{check.Fail, check.Warning, check.Note}}}},
		{"rule", object{{"enum", rules}}},
		{"bridge", object{{"type", []string{"string", "null"}}}},
		{"value", number},
		{"limit", number},
		{"unit", text},
		{"message", text},
		{"remedy", text},
	}}, {"required", []string{"level", "rule", "bridge", "value", "limit", "unit", "message", "remedy"}}, {"additionalProperties", false}}
}

// units of the keys of a result, by their endings.
var resultUnits = []struct{ ending, unit string }{
	{"_mv_per_v", "mV/V"}, {"_percent_per_10k", "% per 10 K"}, {"_percent", "%"}, {"_mm2", "mm²"}, {"_mm4", "mm⁴"}, {"_mm", "mm"},
	{"_deg", "degrees"}, {"_ue", "µε"}, {"_ppm", "ppm"}, {"_mpa", "MPa"}, {"_hz", "Hz"}, {"_nm_per_rad", "N·m/rad"}, {"_n_per_mm", "N/mm"},
	{"_nm2", "N·m²"}, {"_mrad", "mrad"}, {"_um", "µm"}, {"_uv", "µV"}, {"_mw_per_grid", "mW"}, {"_v", "V"},
}

func unitOf(key string) string {
	key = "_" + key
	for _, u := range resultUnits {
		if strings.HasSuffix(key, u.ending) {
			return u.unit
		}
	}
	return ""
}
