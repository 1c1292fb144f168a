package sitefile

import (
	_ "embed"
	"strings"
	"sync"
)

// descriptions holds the comments of the types of the site file and of their fields, one a row: "Type" or "Type.Field",
// a tab and the text. They are the descriptions of the schema.
//
//go:generate go test -run TestDescriptionsAreCurrent -update
//go:embed descriptions.tsv
var descriptions string

var descriptionsByName = sync.OnceValue(func() map[string]string {
	texts := map[string]string{}
	for row := range strings.Lines(descriptions) {
		name, text, _ := strings.Cut(strings.TrimSuffix(row, "\n"), "\t")
		texts[name] = text
	}
	return texts
})

// described is the comment of a type, or of a field as "Type.Field".
func described(name string) string { return descriptionsByName()[name] }

// meaning is what the comment of the field says: its first sentence, without the point, and the rest.
func (f field) meaning() (short, more string) {
	if f.owner == nil {
		return "", ""
	}
	short, more, _ = strings.Cut(described(f.owner.Name()+"."+f.name), ". ")
	if more != "" && !strings.HasSuffix(more, ".") {
		more += "."
	}
	return strings.TrimSuffix(short, "."), more
}

// expected says what to write for a value, and what it means.
func (f field) expected() string {
	if short, _ := f.meaning(); short != "" {
		return f.describe() + " (" + short + ")"
	}
	return f.describe()
}
