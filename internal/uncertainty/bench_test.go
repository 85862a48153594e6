package uncertainty_test

import (
	"context"
	"os"
	"testing"

	"gridwright/internal/designfile"
	"gridwright/internal/predict"
	"gridwright/internal/uncertainty"
)

// example is a design of the folder designs/ as it is predicted.
func example(t testing.TB, name string, assume bool) *predict.Result {
	t.Helper()
	path := "../../designs/" + name + ".yaml"
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return predicted(t, string(text), assume)
}

func predicted(t testing.TB, text string, assume bool) *predict.Result {
	t.Helper()
	d, err := designfile.Read("design.yaml", []byte(text))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	if assume {
		d.Assume = "common-practice"
	}
	uncertainty.Assume(d)
	r, err := predict.Of(d)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// A million trials of the main example with a tolerance on every input that common
// practice gives one: two bridges, five loads, all figures with their quantiles.
func BenchmarkMonteCarlo1e6(b *testing.B) {
	r := example(b, "agitator-tube", true)
	b.ReportAllocs()
	for b.Loop() {
		out, err := uncertainty.Of(context.Background(), r, uncertainty.Options{Trials: 1_000_000, All: true, Seed: 1})
		if err != nil {
			b.Fatal(err)
		}
		if out.Trials != 1_000_000 {
			b.Fatalf("%d trials", out.Trials)
		}
	}
}

// As predict runs it: until the results are stable, at most a million trials.
func BenchmarkAdaptive(b *testing.B) {
	r := example(b, "agitator-tube", true)
	for b.Loop() {
		if _, err := uncertainty.Of(context.Background(), r, uncertainty.Options{Trials: 1_000_000, Seed: 1}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFirstOrder(b *testing.B) {
	r := example(b, "agitator-tube", true)
	for b.Loop() {
		if _, err := uncertainty.Of(context.Background(), r, uncertainty.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
