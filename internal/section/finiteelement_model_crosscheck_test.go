//go:build crosscheck

package section

import (
	"bufio"
	"bytes"
	"fmt"
	"maps"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"text/template"

	"gridwright/internal/design"
)

// model is a solved solid model: the displacements of its nodes for one unit of each
// load, in the order of the components.
type model struct {
	nodes        map[place]int
	displacement []map[int][]float64 // along x, y, z
	layer, share float64             // size of an element along the part, m, and as a share of its face
}

// place is a point to the nearest 10 nm, by which nodes are found.
type place [3]int

func at(x, y, z float64) place {
	const grain = 1e-8
	return place{int(math.Round(x / grain)), int(math.Round(y / grain)), int(math.Round(z / grain))}
}

// moved is the displacement of the node at a point for a unit of a load; the point
// may have been rounded to a neighbouring place.
func (m *model) moved(t *testing.T, x, y, z float64, c design.Component) [3]float64 {
	t.Helper()
	p := at(x, y, z)
	for i := -1; i <= 1; i++ {
		for j := -1; j <= 1; j++ {
			for k := -1; k <= 1; k++ {
				n, ok := m.nodes[place{p[0] + i, p[1] + j, p[2] + k}]
				if u := m.displacement[c][n]; ok && len(u) == 3 {
					return [3]float64(u)
				}
			}
		}
	}
	t.Fatalf("the solid model has no displacement at x = %g, y = %g, z = %g", x, y, z)
	return [3]float64{}
}

// strain of the surface at a mark for a unit of a load, from the displacements of
// the nodes about it, as a strain gauge takes it. With u along the part, t the
// tangent of the outline and v the displacement across the part,
//
//	εx = ∂u/∂x,  εφ = t·∂v/∂s,  γ = ∂u/∂s + t·∂v/∂x
//
// each the mean over the two elements along the part that meet in the mark, where it
// is constant or linear: in elements of the second order a shear force leaves a γ
// that is right in its mean but bent along each of them. Derivatives around are those
// of the polynomial through the corners of four elements. The strains at the
// integration points, which the solver can carry to the nodes, are of lower order and
// would ask for a mesh several times as fine.
func (m *model) strain(t *testing.T, k *mark, c design.Component) strain {
	t.Helper()
	derivative := [5]float64{1, -8, 0, 8, -1} // over twelve steps
	simpson := [5]float64{1, 4, 2, 4, 1}      // over twelve
	step := m.share * k.length
	var along, around [3]float64 // derivatives of the displacement
	for i, w := range simpson {
		x := k.x + float64(i-2)*m.layer/2
		for j, d := range derivative {
			if d == 0 {
				continue
			}
			y, z := k.point(float64(j-2) * m.share)
			for axis, u := range m.moved(t, x, y, z, c) {
				around[axis] += w / 12 * d / (12 * step) * u
			}
		}
	}
	ahead, behind := m.moved(t, k.x+m.layer, k.y, k.z, c), m.moved(t, k.x-m.layer, k.y, k.z, c)
	for axis := range along {
		along[axis] = (ahead[axis] - behind[axis]) / (2 * m.layer)
	}
	return strain{
		along[0],
		around[1]*k.ty + around[2]*k.tz,
		around[0] + along[1]*k.ty + along[2]*k.tz,
	}
}

// rotation about x of the section at a station, the mean over what its outline
// encloses: ∮(v dy + w dz) over twice the area, by Simpson's rule, which is exact on
// elements of the second order.
func (b *bar) rotation(t *testing.T, s Section, m *model, x float64, c design.Component) float64 {
	t.Helper()
	circulation, area := 0.0, 0.0
	for i, f := range s.Faces() {
		n := b.elements(f, b.fine)
		var p, u [][2]float64
		for k := range 2*n + 1 {
			y, z := s.Point(s.OnFace(i, f.Length*(float64(k)/float64(2*n)-0.5)))
			d := m.moved(t, x, y, z, c)
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
	for _, v := range append(append([]setting{{"length", b.length}, {"layers", b.layers}}, b.fixed...), size...) {
		arguments = append(arguments, "-setnumber", v.name, strconv.FormatFloat(v.value, 'g', -1, 64))
	}
	run(t, dir, "gmsh", append(arguments, script)...)

	m := &model{nodes: map[place]int{}, layer: b.length / b.layers, share: 1 / size[0].value}
	d := deck{Elasticity: youngs, Poisson: poisson}
	nodes := nodesOf(t, read(t, dir, "mesh.inp"))
	last := 0
	for _, n := range slices.Sorted(maps.Keys(nodes)) {
		v := nodes[n]
		m.nodes[at(v[0], v[1], v[2])] = n
		last = n
		switch {
		case math.Abs(v[0]+b.length/2) < 1e-8:
			d.Back = append(d.Back, n)
		case math.Abs(v[0]-b.length/2) < 1e-8:
			d.Front = append(d.Front, n)
		case math.Abs(v[0]) < 1e-8:
			// the nodes farthest along +y, −y and +z
			for k, axis := range [3][2]float64{{1, 0}, {-1, 0}, {0, 1}} {
				far := func(n int) float64 { return nodes[n][1]*axis[0] + nodes[n][2]*axis[1] }
				if d.Support[k] == 0 || far(n) > far(d.Support[k]) {
					d.Support[k] = n
				}
			}
		}
	}
	d.bind(last, s.Properties())
	form, err := template.ParseFiles("testdata/unit-loads.inp")
	if err != nil {
		t.Fatal(err)
	}
	var text bytes.Buffer
	if err := form.Execute(&text, &d); err != nil {
		t.Fatal(err)
	}
	write(t, dir, "bar.inp", text.Bytes())
	run(t, dir, "ccx", "bar")
	m.results(t, read(t, dir, "bar.frd"))
	return m
}

// deck is what testdata/unit-loads.inp asks for.
type deck struct {
	Centroid            []string // number and point of each node that is of no element
	Back, Front         []int    // nodes of the two ends
	Ends                [4]int   // displacement and rotation of the back, and of the front
	Ties                []string
	Support             [3]int
	Loads               []string // node and direction, in the order of the components
	Elasticity, Poisson float64
}

// bind ties the ends to their relative and their common motion, by eight nodes at
// mid-length on the centroid, numbered after the last of the mesh.
func (d *deck) bind(last int, p Properties) {
	for k := range 8 {
		d.Centroid = append(d.Centroid, fmt.Sprintf("%d, 0, %.10f, %.10f", last+1+k, p.CentroidY, p.CentroidZ))
	}
	d.Ends = [4]int{last + 1, last + 2, last + 3, last + 4}
	relative, common := last+5, last+7
	for kind := range 2 {
		for axis := 1; axis <= 3; axis++ {
			for end, half := range [2]float64{-0.5, 0.5} {
				d.Ties = append(d.Ties, fmt.Sprintf("%d, %d, 1, %d, %d, -1, %d, %d, %g", d.Ends[2*end+kind], axis, common+kind, axis, relative+kind, axis, -half))
			}
			d.Loads = append(d.Loads, fmt.Sprintf("%d, %d", relative+kind, axis))
		}
	}
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

// results reads the solver's result file: of each load a block of displacements, a
// line a node, numbers in columns of twelve after the node's.
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
	if loads := int(design.BendingZ) + 1; len(m.displacement) != loads {
		t.Fatalf("%d blocks of displacements for %d loads", len(m.displacement), loads)
	}
}
