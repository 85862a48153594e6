package bridge

// Nodes of the network. Nodes 0 to 3 are the part's side of the corners 0 to 3
// (+E, −S, −E, +S), where wires make that another point than the instrument's
// terminal. The terminals follow, the two of the supply last: their voltages are
// given, all others are unknown.
const (
	minusS = 4 + iota
	plusS
	plusE
	minusE
	nodes
)

// terminal is the instrument's node of each corner. Arm k (from 0) runs from
// corner k to corner k+1.
var terminal = [4]int{plusE, minusS, minusE, plusS}

// next is the corner, or arm, that follows in the sense of the ring.
func next(k int) int { return (k + 1) & 3 }

// network is a set of conductances between nodes, solved by the star-mesh
// transformation: a node with conductances g_i to its neighbours is replaced by
// conductances g_i·g_j/Σg between them. This is Gaussian elimination of the node
// equations arranged so that it only adds, multiplies and divides positive
// numbers (Grassmann, Taksar and Heyman, Operations Research 33 (1985) 1107, for
// Markov chains; the reference is from memory), so a milliohm of wire beside a
// gigohm of meter costs no digits and no pivoting is needed.
type network struct {
	g    [nodes][nodes]float64 // conductance between nodes i < j, S; a row keeps its star once eliminated
	sum  [nodes]float64        // Σg of an eliminated node, S; 0: nothing connected
	ends [4][2]int             // nodes where each arm begins and ends, in the sense of the ring
}

func (n *network) join(i, j int, siemens float64) {
	if i > j {
		i, j = j, i
	}
	n.g[i][j] += siemens
}

// build places arms and wires; the meter is left out.
func (n *network) build(w *Wiring, arms *[4]float64) {
	for k := range n.ends {
		n.ends[k] = [2]int{terminal[k], terminal[next(k)]}
	}
	var lead float64
	if w.Wires != 0 {
		lead = 1 / w.Each
	}
	first, count, _ := w.remote()
	switch w.Wires {
	case 4:
		n.extend(0, 4, lead)
	case 6:
		n.extend(0, 4, 0)
		for c := range terminal {
			if c&1 == 1 {
				n.join(c, terminal[c], lead)
				continue
			}
			// The supply is held here: the corner is the terminal.
			n.ends[c][0] = terminal[c]
			n.ends[(c+3)&3][1] = terminal[c]
		}
	case 2:
		n.extend(first, 1, lead)
	case 3:
		n.extend(first, count, lead)
		if count == 1 {
			// The neighbour at the remote arm's signal corner meets it at the part
			// through a wire of its own; its end of that wire takes the node of the
			// opposite corner, which no wire of this arm uses.
			signal, neighbour, end := next(first), next(first), 0
			if first&1 == 1 {
				signal, neighbour, end = first, (first+3)&3, 1
			}
			far := (signal + 2) & 3
			n.join(signal, far, lead)
			n.ends[neighbour][end] = far
		}
	}
	for k, e := range n.ends {
		n.join(e[0], e[1], 1/arms[k])
	}
}

// extend moves a run of arms to the part, with one wire at each corner of the run.
func (n *network) extend(first, count int, lead float64) {
	c := first
	for range count {
		n.ends[c] = [2]int{c, next(c)}
		n.join(c, terminal[c], lead)
		c = next(c)
	}
	if c != first {
		n.join(c, terminal[c], lead)
	}
}

// eliminate replaces the nodes from..to-1 by meshes, in this order. A node to
// which nothing is connected is passed over.
func (n *network) eliminate(from, to int) {
	for k := from; k < to; k++ {
		row := &n.g[k]
		var sum float64
		for j := k + 1; j < nodes; j++ {
			sum += row[j]
		}
		n.sum[k] = sum
		if sum == 0 {
			continue
		}
		for i := k + 1; i < nodes-1; i++ {
			if row[i] == 0 {
				continue
			}
			f := row[i] / sum
			for j := i + 1; j < nodes; j++ {
				n.g[i][j] += f * row[j]
			}
		}
	}
}

// restore fills in the voltages of the eliminated nodes below `below` from those above.
func (n *network) restore(below int, v *[nodes]float64) {
	for k := below - 1; k >= 0; k-- {
		if n.sum[k] == 0 {
			continue
		}
		var s float64
		for j := k + 1; j < nodes; j++ {
			s += n.g[k][j] * v[j]
		}
		v[k] = s / n.sum[k]
	}
}
