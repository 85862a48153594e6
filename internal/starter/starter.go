// Package starter writes a first design file for a kind of part and the loads to
// be measured: every key explained, every value that only the user knows a
// placeholder that the reader refuses.
//
// It chooses no part, no gauge and no arrangement; the examples in its
// placeholders are invented and only fit each other.
package starter

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// Options of a starter file.
type Options struct {
	Part    string             // one of Parts
	Measure []design.Component // at least one, each once
	Sys     quantity.System    // units of the examples
}

// kind is a word for a part with the shape of its section.
type kind struct{ word, shape string }

var kinds = []kind{
	{"tube", "round-tube"}, {"shaft", "round"}, {"column", "round"}, {"bar", "rectangle"}, {"box", "box"}, {"hexagon", "regular-polygon"},
}

// Parts lists the kinds of part: everyday words, then the shapes by name.
func Parts() []string {
	var names []string
	for _, k := range kinds {
		if _, ok := section.Find(k.shape); ok {
			names = append(names, k.word)
		}
	}
	for _, s := range section.Shapes {
		if !slices.Contains(names, s.Name) {
			names = append(names, s.Name)
		}
	}
	return names
}

func shapeOf(part string) (section.Shape, bool) {
	for _, k := range kinds {
		if k.word == part {
			part = k.shape
			break
		}
	}
	return section.Find(part)
}

// Text writes the file. A part of no known kind, or a load that the part does not
// feel, is an error.
func Text(o Options) (string, error) {
	if len(o.Measure) == 0 {
		return "", fmt.Errorf("no load to measure; name one or more of: %s", strings.Join(design.ComponentNames(), ", "))
	}
	shape, ok := shapeOf(o.Part)
	if !ok {
		if near := quantity.Nearest(o.Part, Parts()); near != "" {
			return "", fmt.Errorf("no kind of part is called %s; did you mean %s?", o.Part, near)
		}
		return "", fmt.Errorf("no kind of part is called %s; write one of: %s", o.Part, strings.Join(Parts(), ", "))
	}
	rated, err := ratedExamples(o, shape)
	if err != nil {
		return "", err
	}
	w := &writer{Options: o, plan: plan(o, shape, rated)}
	w.head()
	w.keys(designfile.Keys(), "", "")
	return strings.TrimRight(w.b.String(), "\n") + "\n", nil
}

const exampleMetal = "42CrMo4+QT"

// ratedExamples are loads that the example's part bears and whose strain its
// gauges see, SI: all of them together stress the surface by stressExample.
func ratedExamples(o Options, shape section.Shape) (map[design.Component]float64, error) {
	text := fmt.Sprintf("{gridwright: 1, title: example, part: {material: %s, section: %s}, loads: {axial: {rated: 1 N, use: measure}}}", exampleMetal, shape.Example)
	d, err := designfile.Read("example", []byte(text))
	if err != nil {
		return nil, fmt.Errorf("the example of shape %s cannot be read: %w", shape.Name, err)
	}
	s, err := section.Of(d.Part)
	if err != nil {
		return nil, fmt.Errorf("the example of shape %s cannot be computed: %w", shape.Name, err)
	}
	var most [design.Components]float64
	for k := range 360 {
		var u section.Unit
		s.Surface(s.Around(float64(k)*math.Pi/180), 0, &u)
		for c := range most {
			most[c] = max(most[c], math.Abs(u[c].Axial), math.Abs(u[c].Hoop), math.Sqrt(3)*math.Abs(u[c].Shear))
		}
	}
	out := map[design.Component]float64{}
	for c := design.Component(0); c < design.Components; c++ {
		if most[c] > 0 {
			out[c] = stressExample / float64(len(o.Measure)) / most[c]
		}
	}
	for i, c := range o.Measure {
		if slices.Contains(o.Measure[:i], c) {
			return nil, fmt.Errorf("%s is named twice; name each load once", c)
		}
		if out[c] == 0 {
			return nil, fmt.Errorf("a part of section %s has no surface stress from %s, so nothing can measure it; leave it out, or choose another part", shape.Name, c)
		}
	}
	return out, nil
}

// stressExample is well below the yield strength of the example's metal, Pa.
const stressExample = 150e6
