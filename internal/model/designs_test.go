package model_test

import (
	"reflect"
	"strings"
	"testing"

	"gridwright/internal/design"
	"gridwright/internal/model"
)

// tube is a drive tube with two rosettes opposite each other: a full bridge for torque, a
// half bridge for bending. An invented scenario with invented gauge data.
const tube = `gridwright: 1
title: Drive tube, torque and bending
part:
  material: {youngs-modulus: 205 GPa, poisson-ratio: 0.29, expansion: 11.8 ppm/K, youngs-drift: -2.7e-4 1/K, shear-drift: -2.8e-4 1/K, yield: 750 MPa}
  section: {shape: round-tube, outside-diameter: 60 mm ± 0.05 mm, inside-diameter: 44 mm ± 0.10 mm}
loads:
  torque:    {rated: 1200 N·m, use: measure}
  bending-y: {rated: 400 N·m, use: measure}
  bending-z: {rated: 400 N·m, use: reject}
  axial:     {rated: 15 kN, use: reject}
  shear-z:   {rated: 2 kN, use: reject}
temperature:
  range: [-10 °C, 60 °C]
  gradient: {across: 2 K, toward: 90°, along: 5 K/m}
gauges:
  R:
    pattern: rectangular-rosette
    grid: {length: 3.2 mm, width: 2.5 mm}
    centres: [[0 mm, -3.5 mm], [0 mm, 0 mm], [0 mm, 3.5 mm]]
    resistance: 350 Ω ± 0.2 %
    gauge-factor: [2.08 ± 0.5 %, 2.09 ± 0.5 %, 2.08 ± 0.5 %]
    gauge-factor-scatter: 0.1 %
    transverse-sensitivity: [0.9 %, 0.6 %, 0.9 %]
    gauge-factor-drift: 1.2 %/100K
    stand-off: 0.05 mm ± 0.02 mm
    thermal-output: {celsius: [-30.1, 2.45, -6.3e-2, 3.2e-4, -4.4e-7], for-factor: 2.0, for-expansion: 11.3 ppm/K, spread: 0.15 µε/K}
placements:
  A: {gauge: R, station: 0 mm, around: 90°, direction: 0°}
  B: {gauge: R, station: 0 mm, around: 270°, direction: 0°}
bridges:
  T:  {measures: torque, arms: [A3, A1, B3, B1], excitation: 5 V}
  By: {measures: bending-y, arms: [A2, B2, 350 Ω ± 0.01 %, {value: 350 Ω ± 0.01 %, tcr: 5 ppm/K}], excitation: 5 V}
leads: {wires: 6, each: 0.4 Ω}
instrument: {noise: 0.5 µV, bandwidth: 100 Hz}
`

// everything is a design in which each number that the model depends on stands in the
// file, so that each input can be changed there.
const everything = `gridwright: 1
title: all numbers
part:
  material: {youngs-modulus: 205 GPa ± 2 %, poisson-ratio: 0.29 ± 0.01, shear-modulus: 80 GPa ± 2 % (k=2), expansion: 12 ppm/K ± 0.5 ppm/K, youngs-drift: -2.7e-4 1/K ± 0.4e-4 1/K, shear-drift: -2.8e-4 1/K ± 0.5e-4 1/K}
  section: {shape: round-tube, outside-diameter: 60 mm ± 0.05 mm, inside-diameter: 44 mm ± 0.10 mm}
loads: {axial: {rated: 15 kN}, shear-y: {rated: 1 kN}, shear-z: {rated: 2 kN}, torque: {rated: 1200 N·m, use: measure}, bending-y: {rated: 400 N·m, use: measure}, bending-z: {rated: 300 N·m}, pressure: {rated: 1 MPa}}
temperature: {reference: 20 °C, range: [-10 °C, 60 °C], gradient: {across: 2 K, toward: 40°, along: 5 K/m}}
gauges:
  R:
    pattern: rectangular-rosette
    grid: {length: 3.2 mm ± 0.1 mm, width: 2.5 mm}
    centres: [[0.5 mm, -3.5 mm], [0.25 mm, 0.75 mm], [-1 mm, 3.5 mm ± 0.1 mm]]
    resistance: [350 Ω ± 0.2 %, 351 Ω ± 0.3 %, 349 Ω ± 0.2 %]
    gauge-factor: [2.08 ± 0.5 %, 2.09 ± 1 %, 2.07 ± 0.5 %]
    gauge-factor-scatter: 0.1 %
    transverse-sensitivity: [0.9 % ± 0.2 %, 0.6 % ± 0.1 %, 0.9 % ± 0.2 %]
    gauge-factor-drift: 1.2 %/100K ± 0.3 %/100K
    stand-off: 0.05 mm ± 0.02 mm
    stand-off-expansion: 60 ppm/K
    stand-off-poisson: 0.36
    thermal-output: {celsius: [-30.1, 2.45, -6.3e-2, 3.2e-4, -4.4e-7], for-factor: 2.01, for-expansion: 11.3 ppm/K, spread: 0.15 µε/K}
  S: {pattern: single, grid: {length: 6 mm, width: 3 mm}, centres: [[0 mm, 0 mm]], resistance: 120 Ω ± 0.3 %, gauge-factor: 2.1 ± 1 % (k=2), transverse-sensitivity: -0.4 % ± 0.2 %, gauge-factor-drift: 1 %/100K, stand-off: 0.04 mm,
      thermal-output: {fahrenheit: [10, -0.5, 1e-3], for-factor: 2.0, for-expansion: 11 ppm/K, spread: 0.2 µε/K}}
placements:
  A: {gauge: R, station: 3 mm ± 1 mm, around: 80°, direction: 2°}
  B: {gauge: R, station: -2 mm, around: 275° ± 0.5°, direction: -1° ± 0.3°}
  C: {gauge: S, station: 40 mm, around: 10°, direction: 3°}
  D: {gauge: S, station: 40 mm, around: 190°, direction: 0°}
bridges:
  T:  {measures: torque, arms: [A3, A1, B3, B1], excitation: 5 V, leads: {wires: 4, each: 0.4 Ω ± 0.1 Ω, follow: part}}
  By: {measures: bending-y, arms: [A2, B2, {value: 350 Ω ± 0.01 %, tcr: 5 ppm/K}, {value: 351 Ω ± 0.01 %, tcr: -3 ppm/K}]}
  Q:  {measures: axial, arms: [[C1, D1], {value: 240 Ω, tcr: 2 ppm/K}, {value: 240 Ω, tcr: 2 ppm/K}, {value: 240 Ω, tcr: 1 ppm/K}], leads: {wires: 3, each: 0.7 Ω, completion: instrument}}
instrument: {input-resistance: 1 MΩ}
`

// numbers finds every number of a design that stands at a place of the file.
func numbers(v reflect.Value, path string, found *[]*design.Number) {
	switch v.Kind() {
	case reflect.Struct:
		if n, ok := v.Addr().Interface().(*design.Number); ok {
			if n.Place.Path == path {
				*found = append(*found, n)
			}
			return
		}
		for i := range v.NumField() {
			numbers(v.Field(i), path, found)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			numbers(v.Index(i), path, found)
		}
	}
}

// changed is the design with input k larger by delta (in the input's unit).
func changed(t *testing.T, m *model.Model, k int, delta float64) *design.Design {
	t.Helper()
	d := m.Design.Clone()
	in := m.Inputs[k]
	last := in.Place.Path[strings.LastIndex(in.Place.Path, ".")+1:]
	lot := func() *design.Gauge {
		for i := range d.Gauges {
			if strings.HasPrefix(in.Place.Path, "gauges."+d.Gauges[i].Name+".") {
				return &d.Gauges[i]
			}
		}
		t.Fatalf("no gauge of %s", in.Place.Path)
		return nil
	}
	// own gives a placement a gauge of its own, alike
	own := func(placement int) *design.Gauge {
		g := d.Clone().Gauges[d.Placements[placement].Gauge]
		g.Name += "-own"
		d.Gauges = append(d.Gauges, g)
		d.Placements[placement].Gauge = len(d.Gauges) - 1
		return &d.Gauges[len(d.Gauges)-1]
	}
	placement := func() int {
		for i, p := range d.Placements {
			if p.Name == in.Of {
				return i
			}
		}
		t.Fatalf("no placement %s", in.Of)
		return 0
	}
	grid := func() (p, g int) {
		for i := range m.Grids {
			if m.Grids[i].Name == in.Of {
				return m.Grids[i].Ref.Placement, m.Grids[i].Ref.Grid
			}
		}
		t.Fatalf("no grid %s", in.Of)
		return 0, 0
	}
	switch {
	case strings.HasPrefix(last, "gauge-factor") && in.Of == "" && !strings.HasPrefix(last, "gauge-factor-drift"):
		g := lot()
		for i := range g.GaugeFactor {
			g.GaugeFactor[i].SI += delta * g.GaugeFactor[i].Tolerance
		}
	case strings.HasPrefix(last, "transverse-sensitivity"):
		g := lot()
		for i := range g.Transverse {
			g.Transverse[i].SI += delta * g.Transverse[i].Tolerance
		}
	case last == "stand-off":
		own(placement()).StandOff.SI += delta
	case last == "gauge-factor-scatter":
		p, g := grid()
		own(p).GaugeFactor[g].SI *= 1 + delta
	case strings.HasPrefix(last, "resistance"):
		p, g := grid()
		own(p).Resistance[g].SI += delta
	default:
		var found []*design.Number
		numbers(reflect.ValueOf(d).Elem(), in.Place.Path, &found)
		if len(found) == 0 {
			t.Fatalf("no number at %s", in.Place.Path)
		}
		for _, n := range found {
			n.SI += delta
		}
	}
	return d
}
