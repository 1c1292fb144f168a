package sitefile

import (
	"bytes"
	"reflect"
)

// Document is a YAML file of another kind than a site file, read as strictly: unknown keys, missing ones and values of
// another type are mistakes with their place.
type Document struct{ reader *reader }

// ReadDocument reads a file into a pointer to a struct with yaml tags, as those of the site file. The kind is what
// messages call the file: "a worksheet". Err returns the mistakes.
func ReadDocument(kind, name string, text []byte, into any) *Document {
	text = lineEnds.ReplaceAll(bytes.TrimPrefix(text, []byte("\ufeff")), []byte("\n"))
	v := reflect.ValueOf(into).Elem()
	r := newReader(name, text)
	r.kind, r.whole = kind, v.Type()
	if root := r.parse(text); root != nil {
		r.decode(root, v, field{typ: v.Type()}, "")
	}
	return &Document{r}
}

// Mistake notes what is wrong with a value of the document, given by the pointer to it; with a key that was left out,
// at the set of keys within which it is lacking.
func (d *Document) Mistake(pointer, within any, m Mistake) {
	if _, there := d.reader.spots[pointer]; !there {
		pointer = within
	}
	d.reader.mistake(d.reader.spots[pointer], m)
}

// Place is a mistake that was found after the document was read, with the place of the value that is wrong.
func (d *Document) Place(pointer any, m Mistake) Mistake {
	r := newReader(d.reader.file, nil)
	r.lines = d.reader.lines
	r.mistake(d.reader.spots[pointer], m)
	return r.mistakes[0]
}

// Err is nil, or a *Mistakes in the order of their places.
func (d *Document) Err() error {
	if len(d.reader.mistakes) == 0 {
		return nil
	}
	return d.reader.sorted()
}
