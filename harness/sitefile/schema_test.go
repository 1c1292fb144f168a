package sitefile

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// compiled is the schema as an independent validator understands it.
func compiled(t *testing.T) *jsonschema.Schema {
	t.Helper()
	text, err := Schema()
	require.NoError(t, err)
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	require.NoError(t, err)
	compiler := jsonschema.NewCompiler()
	require.NoError(t, compiler.AddResource("site.json", document))
	s, err := compiler.Compile("site.json")
	require.NoError(t, err)
	return s
}

// validate holds a YAML text against the schema.
func validate(t *testing.T, s *jsonschema.Schema, text []byte) error {
	t.Helper()
	asJSON, err := yaml.YAMLToJSON(text)
	require.NoError(t, err)
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(asJSON))
	require.NoError(t, err)
	return s.Validate(value)
}

func TestSchemaTakesWhatReadTakes(t *testing.T) {
	s := compiled(t)
	for name, text := range shipped(t) {
		assert.NoError(t, validate(t, s, text), name)
	}
}

// What a schema can know, it refuses as Read does.
func TestSchemaRefusesWhatReadRefuses(t *testing.T) {
	s := compiled(t)
	for _, theme := range []string{"unknown-keys", "wrong-units", "missing-values", "missing-keys", "wrong-types",
		"characteristic", "backflow-type", "out-of-range", "terminals", "not-a-site"} {
		text, err := os.ReadFile(filepath.Join("testdata/bad", theme+".yaml"))
		require.NoError(t, err)
		assert.Error(t, validate(t, s, text), theme)
	}
}

// One small wound at a time: each is refused by the schema and by Read.
func TestSchemaAndReadAgree(t *testing.T) {
	s, text := compiled(t), string(shipped(t)["small.yaml"])
	for _, wound := range [][2]string{
		{"static: 3.5 bar", "static: 3.5"},
		{"static: 3.5 bar", "static: 3.5 L"},
		{"static: 3.5 bar, ", ""},
		{"static: 3.5 bar", "statik: 3.5 bar"},
		{"lines: 4", "lines: 4.5"},
		{"lines: 4", "lines: many"},
		{"lines: 4", "lines: 0"},
		{"normally: closed", "normally: shut"},
		{"days: [Monday, Friday]", "days: Monday"},
		{"name: riser", "name: 12"},
		{"output: fill", "output: fill, contact: low"},
		{"standpipe: {crest: 900 mm, bore: 40 mm}", "standpipe: 900 mm"},
		{"fittings", "fitting"},
	} {
		damaged := strings.Replace(text, wound[0], wound[1], 1)
		if damaged == text {
			damaged = strings.Replace(text, "name: main,", "name: main, "+wound[1]+": 3,", 1)
		}
		_, err := Read("damaged.yaml", []byte(damaged))
		assert.Error(t, err, "Read takes %s", wound[1])
		assert.Error(t, validate(t, s, []byte(damaged)), "the schema takes %s", wound[1])
	}
}

// Every key is described, by more than its own name, and quantities say how they are written.
func TestSchemaDescribesEveryKey(t *testing.T) {
	text, err := Schema()
	require.NoError(t, err)
	var schema struct {
		Definitions map[string]struct {
			Description string
			Pattern     string
			Properties  map[string]struct{ Description string }
		} `json:"$defs"`
	}
	require.NoError(t, json.Unmarshal(text, &schema))
	keys := 0
	for name, definition := range schema.Definitions {
		assert.Greater(t, len(definition.Description), 10, "%s is not described", name)
		if definition.Pattern != "" {
			_, err := regexp.Compile(definition.Pattern)
			assert.NoError(t, err, name)
		}
		for key, property := range definition.Properties {
			keys++
			assert.Greater(t, len(property.Description), 4, "%s of %s is not described", key, name)
		}
	}
	assert.Greater(t, keys, 150, "keys are missing from the schema")
}

func TestSchemaIsTheSameEachTime(t *testing.T) {
	first, err := Schema()
	require.NoError(t, err)
	second, err := Schema()
	require.NoError(t, err)
	assert.Equal(t, string(first), string(second))
	assert.True(t, json.Valid(first))
}
