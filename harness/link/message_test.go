package link

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"reflect"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

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
			assert.Failf(t, "cannot be sent", "%s is a %v", path, typ)
		}
	}
	walk("controller", reflect.TypeFor[sitefile.Controller]())
	assert.Greater(t, seen, 20)
}

func TestSettingsArePlainJSON(t *testing.T) {
	spec, terminals := testSpec()
	spec.Settings.Moisture = &sitefile.Moisture{Zone: `the "west" bed`, With: []string{"pump"},
		StartsBelow: quantity.FractionValue{}.With(0.45, 0.01)}
	spec.Settings.Programmes = []sitefile.Programme{{Zone: "drip", Starts: []string{"06:30"}}}
	var told struct {
		Controller struct {
			Settings map[string]any
		}
	}
	hello, err := newHello(spec, terminals)
	require.NoError(t, err)
	line, err := new(writer).line(hello)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(line, &told), string(line))
	settings := told.Controller.Settings
	assert.Equal(t, map[string]any{"zone": `the "west" bed`, "with": []any{"pump"}, "probe": "", "dry_count": 0.0,
		"wet_count":             0.0,
		"starts_below_fraction": 0.45, "attempts": 0.0}, settings["moisture"], "what is not set is sent, or what is set is not")
	assert.Equal(t, []any{map[string]any{"zone": "drip", "starts": []any{"06:30"}}}, settings["programmes"])
	assert.NotContains(t, settings, "interlock", "a rule that is not in use is sent")
}

// What a program reads of the settings is what the site file says: quantities lose only their tolerance.
func TestSettingsSurviveTheWire(t *testing.T) {
	spec, _ := testSpec()
	spec.Settings.Moisture = &sitefile.Moisture{Zone: `the "west" bed`, With: []string{"pump"},
		StartsBelow: quantity.FractionValue{}.With(0.45, 0)}
	spec.Settings.Programmes = []sitefile.Programme{{Zone: "drip", Starts: []string{"06:30"}}}
	text, err := plain(spec)
	require.NoError(t, err)
	var back sitefile.Controller
	require.NoError(t, fromPlain(text, &back), string(text))
	again, err := plain(back)
	require.NoError(t, err)
	assert.Equal(t, string(text), string(again))
	assert.Equal(t, spec.Settings.Fill.LongestRun.SI, back.Settings.Fill.LongestRun.SI)
	assert.True(t, back.Settings.Moisture.StartsBelow.IsSet())
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

// FuzzAnswer reads any line as an answer and as a greeting: it never panics, and what is accepted can be used.
func FuzzAnswer(f *testing.F) {
	for _, seed := range []string{`{"at":1}`, `{"at":9007199254740992}`, "{\"at\":12}\r\n", `{"at":-1}`, `{"at":01}`,
		`{"at":1e3}`, `{"at":}`, `{"at":1`,
		`{"at":99999999999999999999}`, `{"at":5,"out":[{"terminal":"pump","on":true}],"send":[{"kind":"publish","number":1,"topic":"alert","text":"spill"}]}`,
		`{"error":"x"}`, `{}`, `null`, `[]`, ``, `{"at":1}{"at":2}`, `{"at":null}`} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, line []byte) {
		if did, err := parseAnswer(line); err == nil {
			require.NotNil(t, did.At)
			for _, s := range did.Send {
				_, err := s.frame(0)
				require.NoError(t, err, "a frame is accepted that cannot be sent: %s", line)
			}
			for _, o := range did.Out {
				_ = *o.On
			}
		}
		parseGreeting(line)
	})
}
