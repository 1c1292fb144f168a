package sitefile

import (
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	q "ullage/harness/quantity"
)

var update = flag.Bool("update", false,
	"rewrite the golden files; only commit the changes if you understand what caused them")

// bad lists the files of testdata/bad.
func bad(t testing.TB) []string {
	t.Helper()
	files, err := filepath.Glob("testdata/bad/*.yaml")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 25, "the bad files are gone")
	return files
}

// Each bad file is wrong in the way that its first line says. Its golden file holds every message.
func TestBadFiles(t *testing.T) {
	for _, file := range bad(t) {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".yaml"), func(t *testing.T) {
			text, err := os.ReadFile(file)
			require.NoError(t, err)
			_, err = Read(filepath.Base(file), text)
			require.Error(t, err, "the mistakes of %s go unnoticed", file)
			golden := strings.TrimSuffix(file, ".yaml") + ".txt"
			if *update {
				require.NoError(t, os.WriteFile(golden, []byte(err.Error()+"\n"), 0o644))
			}
			want, readErr := os.ReadFile(golden)
			require.NoError(t, readErr)
			assert.Equal(t, string(want), err.Error()+"\n")
			placed(t, text, err)
		})
	}
}

// placed demands of every mistake that its place is in the file, and that what it quotes stands there.
func placed(t require.TestingT, text []byte, err error) {
	for m, there := range places(t, text, err) {
		read, unquoteErr := strconv.Unquote(m.Read)
		if unquoteErr != nil || strings.ContainsAny(read, "…\n\\") || strings.HasPrefix(there, read) ||
			strings.ContainsFunc(there, unicode.IsControl) { // which the YAML library drops
			continue
		}
		inQuotes, overLines := strings.HasPrefix(strings.Trim(there, "\"'"), read), strings.HasPrefix(read, there)
		assert.True(t, inQuotes || overLines, "%q does not stand there, but %q: %v", read, there, m)
	}
}

// places demands that every mistake has a place in the file, and returns what stands there.
func places(t require.TestingT, text []byte, err error) map[Mistake]string {
	var mistakes *Mistakes
	require.True(t, errors.As(err, &mistakes), "not a list of mistakes: %v", err)
	lines := strings.Split(string(lineEnds.ReplaceAll(text, []byte("\n"))), "\n")
	there := map[Mistake]string{}
	for _, m := range *mistakes {
		if !assert.True(t, m.Line >= 1 && m.Line <= len(lines), "a line that the file does not have: %v", m) {
			continue
		}
		line := []rune(lines[m.Line-1])
		if assert.True(t, m.Column >= 1 && m.Column <= len(line)+1, "a column that the line does not have: %v", m) {
			there[m] = strings.Trim(string(line[m.Column-1:]), " \t")
		}
	}
	return there
}

// Ten mistakes are put into one file; all ten are reported, and nothing that follows from them only.
func TestAllMistakesAtOnce(t *testing.T) {
	text, err := os.ReadFile("testdata/bad/ten-at-once.yaml")
	require.NoError(t, err)
	_, err = Read("ten-at-once.yaml", text)
	var mistakes *Mistakes
	require.True(t, errors.As(err, &mistakes))
	assert.Len(t, *mistakes, 10)
}

// shipped are the sites that come with the program, and the small ones of the tests.
func shipped(t testing.TB) map[string][]byte {
	t.Helper()
	files, err := filepath.Glob("../../features/sites/*.yaml")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 3, "the shipped sites are gone")
	small, err := filepath.Glob("testdata/good/*.yaml")
	require.NoError(t, err)
	texts := map[string][]byte{}
	for _, file := range append(files, small...) {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		texts[filepath.Base(file)] = text
	}
	return texts
}

func mustRead(t testing.TB, name string) *Site {
	t.Helper()
	site, err := Read(name, shipped(t)[name])
	require.NoError(t, err)
	return site
}

func TestShippedSites(t *testing.T) {
	for name, text := range shipped(t) {
		site, err := Read(name, text)
		if assert.NoError(t, err) {
			assert.NoError(t, site.Check(), "what was read without a mistake has one when it is checked again: %s",
				name)
		}
	}
}

func TestTernLane(t *testing.T) {
	site := mustRead(t, "tern-lane.yaml")
	main := site.Pipes[0]
	assert.Equal(t, "main", main.Name)
	assert.Equal(t, "master", main.From)
	assert.Equal(t, 28.0, main.Length.SI)
	assert.InDelta(t, 0.0204, main.Bore.SI, 1e-12)
	assert.Equal(t, 3.6e5, site.Supplies[0].Static.SI)
	assert.Equal(t, 2.4e5, site.Supplies[0].Residual.SI)
	assert.InDelta(t, 0.5e-3, site.Supplies[0].At.SI, 1e-15, "30 L/min")
	tank := site.Tanks[0]
	assert.InDelta(t, 0.4, tank.Length.SI*tank.Width.SI*tank.Standpipe.Crest.SI, 1e-12, "400 litres to the crest")
	drip := site.Laterals[0]
	assert.Equal(t, 24, drip.Lines*drip.Emitters)
	assert.Equal(t, Diaphragm, site.Valves[0].Characteristic)
	assert.Equal(t, []string{"06:00", "18:00"}, site.Controller.Settings.Programmes[0].Starts)
	assert.Equal(t, 0.01, site.Contacts[0].Operates.Tolerance)
	var names []string
	for _, terminal := range site.Controller.Terminals {
		names = append(names, terminal.Device())
	}
	assert.Equal(t, []string{"master", "sprays", "top-up", "drip", "pump", "tank-low", "tank-high", "tank-spill",
		"meter", "bed-probe"}, names)
}

// The same site in US trade units reads to the same numbers. Its figures have nine digits; they were converted with the
// factors of NIST SP 811, appendix B (from memory), and 1 Cv = 0.864978 Kv.
func TestUnitsDoNotMatter(t *testing.T) {
	metric, us := leaves(mustRead(t, "small.yaml")), leaves(mustRead(t, "small-us.yaml"))
	require.Equal(t, len(metric), len(us))
	require.Greater(t, len(metric), 80)
	for path, want := range metric {
		got := us[path]
		if number, ok := want.(q.Value); ok {
			assert.InEpsilon(t, 1+number.SI, 1+got.(q.Value).SI, 1e-8, path)
			assert.InDelta(t, number.SI, got.(q.Value).SI, 1e-8*math.Abs(number.SI), path)
			assert.InDelta(t, number.Tolerance, got.(q.Value).Tolerance, 1e-8*number.Tolerance, path)
			continue
		}
		assert.Equal(t, want, got, path)
	}
}

// leaves are the values of a site by their paths.
func leaves(site *Site) map[string]any {
	values := map[string]any{}
	walk(reflect.ValueOf(site).Elem(), field{}, "", func(v reflect.Value, _ field, path string) {
		if _, ok := v.Addr().Interface().(amount); ok {
			values[path] = v.FieldByName("Value").Interface()
		} else if v.Kind() != reflect.Struct && v.Kind() != reflect.Slice {
			values[path] = v.Interface()
		}
	})
	return values
}

// The order of lists and keys means nothing: every part still reads to the same values.
func TestOrderDoesNotMatter(t *testing.T) {
	text := string(shipped(t)["small.yaml"])
	valve := text[strings.Index(text, "valves:\n"):strings.Index(text, "outlets:\n")]
	controller := text[strings.Index(text, "controller:\n"):]
	moved := controller + strings.Replace(strings.TrimSuffix(text, controller), valve, "", 1) + valve
	moved = strings.Replace(moved, "{name: main, from: preventer, length: 20 m, bore: 20 mm}",
		"{bore: 20 mm, length: 20 m, from: preventer, name: main}", 1)
	site, err := Read("moved.yaml", []byte(moved))
	require.NoError(t, err)
	assert.Equal(t, leaves(mustRead(t, "small.yaml")), leaves(site))
}

// A site that was changed after reading is checked as a file is, with paths in the place of lines.
func TestCheckAfterAChange(t *testing.T) {
	site := mustRead(t, "tern-lane.yaml")
	require.NoError(t, Setting{Path: "tanks/header-tank/rim", Text: "700 mm"}.Apply(site))
	err := site.Check()
	require.Error(t, err)
	assert.Contains(
		t,
		err.Error(),
		`Tern Lane: tanks/header-tank/standpipe/crest: read "800 mm"; expected a crest below the rim (700 mm)`,
	)

	site = mustRead(t, "tern-lane.yaml")
	require.NoError(t, Setting{Path: "controller/settings/fill/attempts", Text: "0"}.Apply(site))
	assert.ErrorContains(t, site.Check(), `controller/settings/fill/attempts: read "0"; expected 1 to 100`)
}

// Whatever damage a site file takes, Read returns a site or a list of mistakes with places in the file.
func TestDamagedFiles(t *testing.T) {
	whole := strings.Split(string(shipped(t)["small.yaml"]), "\n")
	rapid.Check(t, func(t *rapid.T) {
		lines := append([]string(nil), whole...)
		for range rapid.IntRange(1, 4).Draw(t, "wounds") {
			i := rapid.IntRange(0, len(lines)-1).Draw(t, "line")
			k := rapid.IntRange(0, len(lines)-1).Draw(t, "other line")
			switch rapid.SampledFrom([]string{"drop", "swap", "double", "cut", "stray"}).Draw(t, "wound") {
			case "drop":
				lines[i] = ""
			case "swap":
				lines[i], lines[k] = lines[k], lines[i]
			case "double":
				lines[i] += "\n" + lines[i]
			case "cut":
				lines[i] = lines[i][:rapid.IntRange(0, len(lines[i])).Draw(t, "at")]
			case "stray":
				at := rapid.IntRange(0, len(lines[i])).Draw(t, "at")
				lines[i] = lines[i][:at] + rapid.SampledFrom([]string{":", "{", "]", "-", " ", "&", "!", "'", "9", "±",
					"\t", "~", "\r"}).Draw(t, "stray") + lines[i][at:]
			}
		}
		text := []byte(strings.Join(lines, "\n"))
		site, err := Read("damaged.yaml", text)
		if (site == nil) == (err == nil) {
			t.Fatalf("a site and mistakes, or neither: %v", err)
		}
		if err != nil {
			placed(t, text, err)
		}
	})
}

// A value is found where it stands, whatever the line ends are and whatever is behind it.
func TestPlaces(t *testing.T) {
	const text = "site: x\ntanks:\n  - name: \"größter\"\n    rim: 880   \n    length: 1.5  # m\n    width: { 漢: 2 m }\n"
	for _, end := range []string{"\n", "\r\n", "\r"} {
		_, err := Read("places.yaml", []byte(strings.ReplaceAll(text, "\n", end)))
		var mistakes *Mistakes
		require.True(t, errors.As(err, &mistakes))
		var places []string
		for _, m := range *mistakes {
			places = append(places, fmt.Sprintf("%d:%d %s", m.Line, m.Column, m.Read))
		}
		assert.Equal(t, []string{`1:1 nothing for "controller"`, `3:5 nothing for "starts"`, `4:10 "880"`, `5:13 "1.5"`,
			"6:12 a set of keys"}, places, "with %q", end)
	}
}
