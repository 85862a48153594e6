package report

import (
	"bytes"
	"encoding/json"
	"io"

	"gridwright/internal/dossier"
	"gridwright/internal/material"
)

// Traced writes v as JSON prints it, with what a result is traced by added at its
// end where v does not say it: program, data_tables and, when it is known,
// input_sha256. v is an object.
func Traced(w io.Writer, v any, digest string) error {
	var b bytes.Buffer
	if err := JSON(&b, v); err != nil {
		return err
	}
	var keys map[string]json.RawMessage
	if err := json.Unmarshal(b.Bytes(), &keys); err != nil {
		return err
	}
	text := bytes.TrimSuffix(bytes.TrimSuffix(bytes.TrimSuffix(b.Bytes(), []byte("\n")), []byte("}")), []byte("\n"))
	for _, e := range [][2]string{{"program", "gridwright " + dossier.Version}, {"data_tables", material.Digest()}, {"input_sha256", digest}} {
		if _, said := keys[e[0]]; said || e[1] == "" {
			continue
		}
		line, err := json.Marshal(e[1])
		if err != nil {
			return err
		}
		if !bytes.HasSuffix(text, []byte("{")) {
			text = append(text, ',')
		}
		text = append(text, "\n  \""+e[0]+"\": "...)
		text = append(text, line...)
	}
	_, err := w.Write(append(text, "\n}\n"...))
	return err
}

// Trace ends a text: program, version of its data tables, digest of the input.
func (t Text) Trace(digest string) {
	t.printf("\ngridwright %s, data tables %.12s", dossier.Version, material.Digest())
	if digest != "" {
		t.printf("\ninput sha256 %s", digest)
	}
	t.printf("\n")
}
