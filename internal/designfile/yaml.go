package designfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// This file is the only one that knows the YAML library: it turns text into a
// tree of nodes that the reader walks.

// maxBytes bounds a design file: a real one has a few kilobytes.
const maxBytes = 4 << 20

// maxNodes bounds the tree, aliases counted once.
const maxNodes = 400_000

type nodeKind int

const (
	scalarNode nodeKind = iota
	mappingNode
	listNode
)

func (k nodeKind) String() string {
	return [...]string{"a single value", "a mapping (keys with values)", "a list"}[k]
}

// node is one YAML value with its place. Aliases are resolved.
type node struct {
	kind         nodeKind
	line, column int
	text         string // of a scalar, as YAML understands it
	null         bool   // nothing, ~ or null, unquoted
	plain        bool   // unquoted
	flow         bool   // written with braces or brackets
	keys         []*node
	values       []*node // of a mapping, beside keys; or the items of a list
}

var anchorInMessage = regexp.MustCompile(`unknown anchor '(.*)' referenced`)

// lineOf is the first line that holds a word, 1 when none does.
func lineOf(text []byte, word string) int {
	i := bytes.Index(text, []byte(word))
	return 1 + bytes.Count(text[:max(i, 0)], []byte("\n"))
}

var lineInMessage = regexp.MustCompile(`^yaml: line (\d+): (.*)$`)

// parse reads the text of one document.
func parse(file string, text []byte) (root *node, problems Problems) {
	fail := func(line, column int, path, format string, args ...any) {
		problems = append(problems, Problem{file, line, column, path, fmt.Sprintf(format, args...)})
	}
	if len(text) > maxBytes {
		fail(1, 1, "", "the file has %d bytes; a design file has at most %d", len(text), maxBytes)
		return nil, problems
	}
	if line, ok := invalidUTF8(text); !ok {
		fail(line, 1, "", "the text is not UTF-8; save the file in that encoding")
		return nil, problems
	}
	if i := bytes.IndexByte(text, 0); i >= 0 {
		fail(1+bytes.Count(text[:i], []byte("\n")), 1, "", "the text has a zero byte; a design file is plain text")
		return nil, problems
	}
	defer func() { // the library panics on some malformed input
		if r := recover(); r != nil {
			root = nil
			fail(1, 1, "", "the text cannot be read as YAML; check its quotes, brackets and indentation")
		}
	}()
	dec := yaml.NewDecoder(bytes.NewReader(text))
	var doc yaml.Node
	if err := dec.Decode(&doc); err != nil {
		if errors.Is(err, io.EOF) {
			fail(1, 1, "", "the file is empty; a design starts with `gridwright: 1`")
		} else {
			line, message := syntaxMessage(err)
			if m := anchorInMessage.FindStringSubmatch(err.Error()); m != nil {
				line = lineOf(text, "*"+m[1])
			}
			fail(line, 1, "", "%s", message)
		}
		return nil, problems
	}
	var second yaml.Node
	if err := dec.Decode(&second); !errors.Is(err, io.EOF) {
		if err != nil {
			line, message := syntaxMessage(err)
			fail(line, 1, "", "%s", message)
		} else {
			fail(second.Line, 1, "", "a second document starts here; a file holds one design")
		}
		return nil, problems
	}
	c := converter{file: file, done: map[*yaml.Node]*node{}}
	root = c.convert(doc.Content[0], "")
	if len(c.problems) > 0 {
		return nil, c.problems
	}
	return root, nil
}

func invalidUTF8(text []byte) (line int, ok bool) {
	line = 1
	for len(text) > 0 {
		r, n := utf8.DecodeRune(text)
		if r == utf8.RuneError && n == 1 {
			return line, false
		}
		if r == '\n' {
			line++
		}
		text = text[n:]
	}
	return line, true
}

// syntaxMessage puts the library's words into ours.
func syntaxMessage(err error) (line int, message string) {
	line, text := 1, strings.TrimPrefix(err.Error(), "yaml: ")
	if m := lineInMessage.FindStringSubmatch(err.Error()); m != nil {
		line, _ = strconv.Atoi(m[1])
		text = m[2]
	}
	line = max(line, 1)
	hint := "check the indentation, quotes and brackets near this line"
	switch {
	case strings.Contains(text, "cannot start any token"):
		hint = "indent with spaces, not tabs, and put a value that begins with %, @ or ` in quotes"
	case strings.Contains(text, "mapping values are not allowed"):
		hint = "a value with a colon in it needs quotes, and keys of one mapping start in one column"
	case strings.Contains(text, "unknown anchor"):
		hint = "define the anchor with & before it is used, or quote a value that begins with *"
	case strings.Contains(text, "expected ',' or"):
		hint = "close the bracket or brace, and separate its parts by commas"
	case strings.Contains(text, "could not find expected ':'"), strings.Contains(text, "did not find expected key"):
		hint = "write `key: value`, with keys of one mapping in one column"
	case strings.Contains(text, "quoted scalar"), strings.Contains(text, "unexpected end of stream"):
		hint = "close the quotes"
	}
	return line, "this is not YAML: " + text + "; " + hint
}

// converter turns the library's tree into ours.
type converter struct {
	file     string
	done     map[*yaml.Node]*node
	open     []*yaml.Node
	count    int
	problems Problems
}

func (c *converter) fail(n *yaml.Node, path, format string, args ...any) {
	if len(path) > 120 {
		path = path[:strings.LastIndexAny(path[:120], ".[")] + "…"
	}
	c.problems = append(c.problems, Problem{c.file, max(n.Line, 1), max(n.Column, 1), path, fmt.Sprintf(format, args...)})
}

func (c *converter) convert(n *yaml.Node, path string) *node {
	for n.Kind == yaml.AliasNode {
		for _, o := range c.open {
			if o == n.Alias {
				c.fail(n, path, "the alias *%s stands inside its own anchor; write the value out", n.Value)
				return nil
			}
		}
		n = n.Alias
	}
	if d, ok := c.done[n]; ok {
		return d
	}
	if c.count++; c.count > maxNodes {
		if c.count == maxNodes+1 {
			c.fail(n, path, "the file has more than %d values; a design is far smaller", maxNodes)
		}
		return nil
	}
	if len(c.open) > 100 {
		c.fail(n, path, "the values are nested more than 100 deep; a design is far flatter")
		return nil
	}
	out := &node{line: max(n.Line, 1), column: max(n.Column, 1), flow: n.Style&yaml.FlowStyle != 0}
	if tag := n.Tag; n.Style&yaml.TaggedStyle != 0 && tag != "!!str" && tag != "!!map" && tag != "!!seq" {
		c.fail(n, path, "the tag %s has no meaning here; leave it out", tag)
		return nil
	}
	c.open = append(c.open, n)
	defer func() { c.open = c.open[:len(c.open)-1] }()
	switch n.Kind {
	case yaml.ScalarNode:
		out.kind, out.text = scalarNode, n.Value
		out.plain = n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle|yaml.LiteralStyle|yaml.FoldedStyle) == 0
		out.null = out.plain && n.Tag == "!!null"
	case yaml.SequenceNode:
		out.kind = listNode
		for i, item := range n.Content {
			out.values = append(out.values, c.convert(item, fmt.Sprintf("%s[%d]", path, i)))
		}
	case yaml.MappingNode:
		out.kind = mappingNode
		c.mapping(n, path, out)
	}
	c.done[n] = out
	return out
}

func (c *converter) mapping(n *yaml.Node, path string, out *node) {
	first := map[string]*yaml.Node{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		if k.Kind != yaml.ScalarNode {
			c.fail(k, path, "a key is %s here; a key is a word", map[yaml.Kind]string{yaml.MappingNode: "a mapping", yaml.SequenceNode: "a list", yaml.AliasNode: "an alias"}[k.Kind])
			continue
		}
		if k.Value == "<<" && k.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) == 0 {
			c.fail(k, join(path, "<<"), "merge keys are not read; write the keys out")
			continue
		}
		if f := first[k.Value]; f != nil {
			c.fail(k, join(path, k.Value), "the key stands twice, first on line %d; leave one", f.Line)
			continue
		}
		first[k.Value] = k
		value := c.convert(v, join(path, k.Value))
		key := &node{kind: scalarNode, line: k.Line, column: k.Column, text: k.Value, plain: k.Style == 0}
		out.keys = append(out.keys, key)
		out.values = append(out.values, value)
	}
}

// join appends a key to a path.
func join(path, key string) string {
	if len(key) > 60 {
		key = string([]rune(key)[:min(len([]rune(key)), 40)]) + "…"
	}
	if path == "" {
		return key
	}
	return path + "." + key
}

// value is the node as JSON holds it. Dates are text; numbers that JSON cannot
// write are too. done keeps what aliases share from being made twice.
func (n *node) value(done map[*node]any) any {
	if v, ok := done[n]; ok {
		return v
	}
	switch n.kind {
	case mappingNode:
		m := map[string]any{}
		for i, k := range n.keys {
			m[k.text] = n.values[i].value(done)
		}
		done[n] = m
		return m
	case listNode:
		list := make([]any, len(n.values))
		for i, v := range n.values {
			list[i] = v.value(done)
		}
		done[n] = list
		return list
	}
	if !n.plain {
		return n.text
	}
	if n.null {
		return nil
	}
	var v any
	if err := yaml.Unmarshal([]byte(n.text), &v); err != nil {
		return n.text
	}
	switch v := v.(type) {
	case bool, int, int64, uint64:
		return v
	case float64:
		if !math.IsInf(v, 0) && !math.IsNaN(v) {
			return v
		}
	}
	return n.text
}
