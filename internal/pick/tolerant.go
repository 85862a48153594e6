package pick

// tolerate prepares what tolerances and temperature gradients do to wirings.
func (g *ground) tolerate(s *shared) error {
	if g.tolerances != nil {
		return nil
	}
	if s != nil {
		t, err := s.of(g.layout)
		g.tolerances = t
		return err
	}
	t, err := newTolerances(g.model, g.state)
	g.tolerances = t
	return err
}

// inModel brings weights from the order of names into that of the model.
func (w *worker) inModel() []float64 {
	for i, at := range w.index {
		w.ordered[at] = w.weights[i]
	}
	return w.ordered
}
