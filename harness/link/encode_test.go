package link

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"reflect"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/harness"
	"ullage/harness/quantity"
	"ullage/harness/sitefile"
)

// Every quantity that settings can hold has a unit at the end of its key.
func TestEverySettingHasItsUnit(t *testing.T) {
	var walk func(path string, typ reflect.Type)
	seen := 0
	walk = func(path string, typ reflect.Type) {
		if q, ok := reflect.Zero(typ).Interface().(written); ok {
			seen++
			assert.Containsf(t, suffixes, q.Dimension(), "%s has no unit at the end of its key", path)
			return
		}
		switch typ.Kind() {
		case reflect.Pointer, reflect.Slice:
			walk(path, typ.Elem())
		case reflect.Struct:
			for i := range typ.NumField() {
				assert.NotEmptyf(t, typ.Field(i).Tag.Get("yaml"), "%s.%s has no key", path, typ.Field(i).Name)
				walk(path+"."+typ.Field(i).Name, typ.Field(i).Type)
			}
		case reflect.String, reflect.Int, reflect.Float64:
		default:
			assert.Failf(t, "cannot be told", "%s is a %v", path, typ)
		}
	}
	walk("controller", reflect.TypeFor[sitefile.Controller]())
	assert.Greater(t, seen, 20)
}

func TestSettingsArePlainJSON(t *testing.T) {
	spec, terminals := testSpec()
	spec.Settings.Moisture = &sitefile.Moisture{Zone: `the "west" bed`, With: []string{"pump"}, StartsBelow: quantity.FractionValue{}.With(0.45, 0.01)}
	spec.Settings.Programmes = []sitefile.Programme{{Zone: "drip", Starts: []string{"06:30"}}}
	var told struct {
		Controller struct {
			Settings map[string]any
		}
	}
	hello := appendHello(nil, spec, terminals)
	require.NoError(t, json.Unmarshal(hello, &told), string(hello))
	settings := told.Controller.Settings
	assert.Equal(t, map[string]any{"zone": `the "west" bed`, "with": []any{"pump"}, "probe": "", "dry_count": 0.0, "wet_count": 0.0,
		"starts_below_fraction": 0.45, "attempts": 0.0}, settings["moisture"], "what is not set is told, or what is set is not")
	assert.Equal(t, []any{map[string]any{"zone": "drip", "starts": []any{"06:30"}}}, settings["programmes"])
	assert.NotContains(t, settings, "interlock", "a rule that is not in use is told")
}

// What is written by hand is what encoding/json reads back.
func TestHandWrittenJSON(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, number := rapid.String().Draw(t, "text"), rapid.Float64().Draw(t, "number")
		var back string
		require.NoError(t, json.Unmarshal(appendString(nil, text), &back))
		require.Equal(t, text, back)
		var value float64
		require.NoError(t, json.Unmarshal(appendNumber(nil, number), &value))
		require.Equal(t, number, value)
	})
	assert.Equal(t, "null", string(appendNumber(nil, math.Inf(1))))
}

// A program may claim every ability that a scenario can ask for.
func TestEveryAbilityIsKnown(t *testing.T) {
	file, err := parser.ParseFile(token.NewFileSet(), "../part.go", nil, 0)
	require.NoError(t, err)
	var names []harness.Ability
	ast.Inspect(file, func(n ast.Node) bool {
		if spec, ok := n.(*ast.ValueSpec); ok {
			if typ, ok := spec.Type.(*ast.Ident); ok && typ.Name == "Ability" {
				text, err := strconv.Unquote(spec.Values[0].(*ast.BasicLit).Value)
				require.NoError(t, err)
				names = append(names, harness.Ability(text))
			}
		}
		return true
	})
	require.NotEmpty(t, names)
	assert.ElementsMatch(t, names, harness.AllAbilities())
}

// FuzzAnswer reads any line as an answer: it never panics, and the short way gives what encoding/json gives.
func FuzzAnswer(f *testing.F) {
	for _, seed := range []string{`{"at":1}`, `{"at":9007199254740992}`, "{\"at\":12}\r\n", `{"at":-1}`, `{"at":01}`, `{"at":1e3}`, `{"at":}`, `{"at":1`,
		`{"at":99999999999999999999}`, `{"at":5,"out":[{"terminal":"pump","on":true}],"send":[{"kind":"publish","number":1,"topic":"alert","text":"spill"}]}`,
		`{"error":"x"}`, `{}`, `null`, `[]`, ``, `{"at":1}{"at":2}`, `{"at":null}`} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, line []byte) {
		at, did, err := parseAnswer(line)
		if err == nil && did != nil {
			for _, s := range did.Send {
				s.frame(0)
			}
			for _, o := range did.Out {
				_ = *o.On
			}
		}
		if short, ok := parseReached(line); ok {
			var slow struct {
				At int64 `json:"at"`
			}
			require.NoError(t, unmarshal(line, &slow), "the short way takes what is not JSON: %q", line)
			require.Equal(t, slow.At, short)
			require.Equal(t, slow.At, at)
		}
		parseGreeting(line)
	})
}
