//go:build crosscheck

package section

import (
	"bufio"
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"text/template"

	"gridwright/internal/design"
)

// model is a solved solid model: displacement and strain of its nodes for one unit
// of each load, in the order of the components.
type model struct {
	nodes        map[place]int
	displacement []map[int][]float64 // along x, y, z
	strains      []map[int][]float64 // tensor: xx, yy, zz, xy, yz, zx
}

// place is a point to the nearest 10 nm, by which nodes are found.
type place [3]int

func at(x, y, z float64) place {
	const grain = 1e-8
	return place{int(math.Round(x / grain)), int(math.Round(y / grain)), int(math.Round(z / grain))}
}

// node is the one at a point: it may have been rounded to a neighbouring place.
func (m *model) node(t *testing.T, x, y, z float64) int {
	t.Helper()
	p := at(x, y, z)
	for i := -1; i <= 1; i++ {
		for j := -1; j <= 1; j++ {
			for k := -1; k <= 1; k++ {
				if n, ok := m.nodes[place{p[0] + i, p[1] + j, p[2] + k}]; ok {
					return n
				}
			}
		}
	}
	t.Fatalf("the solid model has no node at x = %g, y = %g, z = %g", x, y, z)
	return 0
}

// strain at a mark for a unit of a load, turned into the directions of the surface.
func (m *model) strain(t *testing.T, k mark, c design.Component) strain {
	t.Helper()
	e := m.strains[c][m.node(t, k.x, k.y, k.z)]
	if len(e) != 6 {
		t.Fatalf("no strain at %v", &k)
	}
	return strain{
		e[0],
		e[1]*k.ty*k.ty + e[2]*k.tz*k.tz + 2*e[4]*k.ty*k.tz,
		2 * (e[3]*k.ty + e[5]*k.tz),
	}
}

// rotation about x of the section at a station, the mean over what its outline
// encloses: ∮(v dy + w dz) over twice the area, with n elements on each face and
// Simpson's rule, exact on elements of the second order.
func (m *model) rotation(t *testing.T, s Section, n int, x float64, c design.Component) float64 {
	t.Helper()
	circulation, area := 0.0, 0.0
	for i, f := range s.Faces() {
		var p, u [][2]float64
		for k := range 2*n + 1 {
			y, z := s.Point(s.OnFace(i, f.Length*(float64(k)/float64(2*n)-0.5)))
			d := m.displacement[c][m.node(t, x, y, z)]
			p, u = append(p, [2]float64{y, z}), append(u, [2]float64{d[1], d[2]})
		}
		for k := 0; k < 2*n; k += 2 {
			// derivatives of a parabola at its ends and middle, times the sixths
			for axis := range 2 {
				a, b, c := p[k][axis], p[k+1][axis], p[k+2][axis]
				circulation += (u[k][axis]*(4*b-3*a-c) + 4*u[k+1][axis]*(c-a) + u[k+2][axis]*(3*c-4*b+a)) / 6
			}
			a, b, c := p[k], p[k+1], p[k+2]
			area += (a[0]*(4*b[1]-3*a[1]-c[1]) + 4*b[0]*(c[1]-a[1]) + c[0]*(3*c[1]-4*b[1]+a[1])) / 6
		}
	}
	return circulation / (2 * area)
}

// solve meshes a bar and solves it, in a folder that is removed afterwards.
func (b *bar) solve(t *testing.T, s Section, size []setting) *model {
	t.Helper()
	dir := t.TempDir()
	script, err := filepath.Abs(filepath.Join("testdata", b.script))
	if err != nil {
		t.Fatal(err)
	}
	arguments := []string{"-3", "-format", "inp", "-o", "mesh.inp"}
	for _, v := range append(append([]setting{{"length", b.length}, {"layers", float64(b.layers)}}, b.fixed...), size...) {
		arguments = append(arguments, "-setnumber", v.name, strconv.FormatFloat(v.value, 'g', -1, 64))
	}
	run(t, dir, "gmsh", append(arguments, script)...)

	// elements of reduced integration do not stiffen in shear
	mesh := read(t, dir, "mesh.inp")
	mesh = bytes.ReplaceAll(mesh, []byte("type=C3D20,"), []byte("type=C3D20R,"))
	write(t, dir, "mesh.inp", mesh)

	m := &model{nodes: map[place]int{}}
	p := s.Properties()
	deck := struct {
		Reference, Rotation  int
		CentroidY, CentroidZ float64
		Held, Loaded         []int
		Elasticity, Poisson  float64
	}{CentroidY: p.CentroidY, CentroidZ: p.CentroidZ, Elasticity: youngs, Poisson: poisson}
	for n, v := range nodesOf(t, mesh) {
		m.nodes[at(v[0], v[1], v[2])] = n
		deck.Reference = max(deck.Reference, n+1)
		switch {
		case math.Abs(v[0]+b.length/2) < 1e-8:
			deck.Held = append(deck.Held, n)
		case math.Abs(v[0]-b.length/2) < 1e-8:
			deck.Loaded = append(deck.Loaded, n)
		}
	}
	deck.Rotation = deck.Reference + 1
	form, err := template.ParseFiles("testdata/unit-loads.inp")
	if err != nil {
		t.Fatal(err)
	}
	var text bytes.Buffer
	if err := form.Execute(&text, deck); err != nil {
		t.Fatal(err)
	}
	write(t, dir, "bar.inp", text.Bytes())
	run(t, dir, "ccx", "bar")
	m.results(t, read(t, dir, "bar.frd"))
	return m
}

// run fails the test where a program is missing or complains.
func run(t *testing.T, dir, program string, arguments ...string) {
	t.Helper()
	path, err := exec.LookPath(program)
	if err != nil {
		t.Fatalf("%s is needed for this test (.ci/run installs it): %v", program, err)
	}
	cmd := exec.Command(path, arguments...)
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "OMP_NUM_THREADS=2")
	out, err := cmd.CombinedOutput()
	if err != nil || bytes.Contains(out, []byte("*ERROR")) {
		t.Fatalf("%s: %v\n%s", program, err, out)
	}
}

func read(t *testing.T, dir, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(dir, name))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func write(t *testing.T, dir, name string, b []byte) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, name), b, 0o600); err != nil {
		t.Fatal(err)
	}
}

// nodesOf are the numbers and points of a mesh in the solver's input format.
func nodesOf(t *testing.T, mesh []byte) map[int][3]float64 {
	t.Helper()
	out := map[int][3]float64{}
	in := false
	for lines := bufio.NewScanner(bytes.NewReader(mesh)); lines.Scan(); {
		line := lines.Text()
		if strings.HasPrefix(line, "*") {
			in = strings.HasPrefix(line, "*NODE")
			continue
		}
		if !in {
			continue
		}
		var n int
		var v [3]float64
		if _, err := fmt.Sscanf(line, "%d, %g, %g, %g", &n, &v[0], &v[1], &v[2]); err != nil {
			t.Fatalf("mesh: %q: %v", line, err)
		}
		out[n] = v
	}
	if len(out) == 0 {
		t.Fatal("the mesh has no nodes")
	}
	return out
}

// results reads the solver's result file: of each load a block of displacements and
// one of strains, a line a node, numbers in columns of twelve after the node's.
func (m *model) results(t *testing.T, file []byte) {
	t.Helper()
	var block map[int][]float64
	lines := bufio.NewScanner(bytes.NewReader(file))
	for lines.Scan() {
		line := lines.Text()
		if len(line) < 3 {
			continue
		}
		switch line[:3] {
		case " -4":
			block = map[int][]float64{}
			switch name := strings.Fields(line)[1]; name {
			case "DISP":
				m.displacement = append(m.displacement, block)
			case "TOSTRAIN":
				m.strains = append(m.strains, block)
			default:
				t.Fatalf("results of an unknown kind %s", name)
			}
		case " -3":
			block = nil
		case " -1":
			if block == nil {
				continue
			}
			n, err := strconv.Atoi(strings.TrimSpace(line[3:13]))
			if err != nil {
				t.Fatal(err)
			}
			var v []float64
			for rest := line[13:]; len(rest) >= 12; rest = rest[12:] {
				x, err := strconv.ParseFloat(strings.TrimSpace(rest[:12]), 64)
				if err != nil {
					t.Fatal(err)
				}
				v = append(v, x)
			}
			block[n] = v
		}
	}
	if err := lines.Err(); err != nil {
		t.Fatal(err)
	}
	if loads := int(design.BendingZ) + 1; len(m.displacement) != loads || len(m.strains) != loads {
		t.Fatalf("%d blocks of displacements and %d of strains for %d loads", len(m.displacement), len(m.strains), loads)
	}
}
