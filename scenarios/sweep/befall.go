package sweep

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/sitefile"
	"ullage/scenarios"
)

// befalling is a fault of the catalogue on a target of the site, as a step.
type befalling struct {
	Fault  string
	Target string
	step   string // begins to act when it is said
	given  string // has been there all along; "" for what cannot
}

// refusal is a fault that cannot befall a target of its kind on this site, and why.
type refusal struct{ Fault, Target, Why string }

// instances makes a step of the example of every fault of the catalogue for every target of the site that the phrase of the
// example takes, with the figures of the example. Where the example names a second device, the first other one of the
// site that fits stands in its place.
func (p *planner) instances() ([]befalling, []refusal) {
	var list []befalling
	var refused []refusal
	for _, entry := range fault.Catalogue() {
		example, ok := p.example(entry)
		if !ok {
			refused = append(refused, refusal{entry.ID, "any " + entry.Kind, p.why(example, "")})
			continue
		}
		if !example.named { // there is one of it on every site
			list = append(list, p.befalling(entry.ID, example.target, example, example.step)...)
			continue
		}
		foreign := map[string]bool{} // other kinds of device that the phrase does not take
		for _, d := range p.spec.Devices() {
			if foreign[d.Kind] {
				continue
			}
			made := p.place(entry.ID, example, d.Name)
			foreign[d.Kind] = made == nil && d.Kind != entry.Kind
			for i := 1; i < len(scales) && made == nil && d.Kind == entry.Kind; i++ {
				fitted := example
				fitted.step = scaled(example.step, scales[i])
				made = p.place(entry.ID, fitted, d.Name)
			}
			if made == nil && d.Kind == entry.Kind {
				refused = append(refused, refusal{entry.ID, d.Name, p.why(example, d.Name)})
			}
			list = append(list, made...)
		}
	}
	return list, refused
}

// scales are tried in turn on the first figure of an example that is out of range for a target: what closes in 60 ms cannot
// be made to take 8 s.
var scales = [...]float64{1, 0.1, 0.01, 10, 100}

var firstFigure = regexp.MustCompile(`(^| )([0-9]+(?:\.[0-9]+)?) `)

// scaled is a step with its first figure so many times as large.
func scaled(step string, by float64) string {
	at := firstFigure.FindStringSubmatchIndex(step)
	if by == 1 || at == nil {
		return step
	}
	figure, _ := strconv.ParseFloat(step[at[4]:at[5]], 64)
	return step[:at[4]] + strconv.FormatFloat(float64(figure*by), 'g', 6, 64) + step[at[5]:]
}

// example is the example of a fault taken apart.
type example struct {
	step   string
	target string
	named  bool     // the target is a device of the site file, and the step names it
	others []string // further devices that the step names
	begins bool     // the phrase is for what begins in the story, and not only for what has been there all along
}

// example compiles the example of a fault on the first shipped site that has what it names; ok tells whether there is one.
func (p *planner) example(entry fault.Entry) (e example, ok bool) {
	for _, site := range p.Library.Sites() {
		e = example{step: entry.Example}
		act := p.compiled(site, scenarios.When, e.step)
		if e.begins = act != nil && act.Fault == entry.ID; !e.begins {
			act = p.compiled(site, scenarios.Given, e.step)
		}
		if act == nil || act.Fault != entry.ID {
			continue
		}
		for act.On != nil && strings.Contains(e.step, ", ") { // the moment is ours to choose
			_, e.step, _ = strings.Cut(e.step, ", ")
			if act = p.compiled(site, scenarios.When, e.step); act == nil {
				return e, false
			}
		}
		e.target = act.Target
		spec, _ := p.Library.Site(site) // it has been read
		for _, name := range quotedNames(e.step) {
			switch {
			case name == e.target:
				e.named = true
			case isDevice(spec, name):
				e.others = append(e.others, name)
			}
		}
		return e, true
	}
	return e, false
}

var quotedName = regexp.MustCompile(`"([^"]*)"`)

func quotedNames(step string) []string {
	var names []string
	for _, m := range quotedName.FindAllStringSubmatch(step, -1) {
		names = append(names, m[1])
	}
	return names
}

func isDevice(spec *sitefile.Site, name string) bool {
	return slices.ContainsFunc(spec.Devices(), func(d sitefile.Device) bool { return d.Name == name })
}

// place puts a device of the site in the place of the example's target; nil when the phrase takes none such.
func (p *planner) place(id string, e example, device string) []befalling {
	step := replaceName(e.step, e.target, device)
	if len(e.others) == 0 {
		return p.befalling(id, device, e, step)
	}
	for _, d := range p.spec.Devices() {
		if d.Name != device {
			if made := p.befalling(id, device, e, replaceName(step, e.others[0], d.Name)); made != nil {
				return made
			}
		}
	}
	return nil
}

func replaceName(step, old, name string) string {
	return strings.ReplaceAll(step, `"`+old+`"`, `"`+name+`"`)
}

// window is how a step says how long a fault lasts.
var window = regexp.MustCompile(` for [0-9][^"]*$`)

// befalling is a step as a fault of the site, nil when it cannot be said of that target.
func (p *planner) befalling(id, target string, e example, step string) []befalling {
	b := befalling{Fault: id, Target: target}
	if e.begins {
		act := p.compiled(p.Site, scenarios.When, step)
		if act == nil || act.Fault != id || act.Target != target {
			return nil
		}
		b.step = step
	}
	standing := window.ReplaceAllString(step, "")
	if act := p.compiled(p.Site, scenarios.Given, standing); act != nil && act.Fault == id && act.Target == target {
		b.given = standing
	}
	if b.step == "" && b.given == "" {
		return nil
	}
	return []befalling{b}
}

// compiled is the act that a step makes on a site, nil when it makes none there.
func (p *planner) compiled(site string, kind scenarios.Kind, step string) *harness.Act {
	script, problems := scenarios.Compile(trial(site, kind, step), p.Library.Site, 0)
	if len(problems) > 0 || len(script.Acts) != 1 {
		return nil
	}
	return &script.Acts[0]
}

// why is what the compiler says of the example on a device.
func (p *planner) why(e example, device string) string {
	_, problems := scenarios.Compile(trial(p.Site, scenarios.When, replaceName(e.step, e.target, device)), p.Library.Site, 0)
	if len(problems) == 0 {
		return "the phrase makes another fault of it"
	}
	why := problems[0]
	if why.Read != "" {
		return fmt.Sprintf("read %s; expected %s", why.Read, why.Expected)
	}
	return why.Expected
}

// trial is the shortest scenario that holds a step.
func trial(site string, kind scenarios.Kind, step string) scenarios.Scenario {
	sc := scenarios.Scenario{Steps: []scenarios.Step{{Kind: scenarios.Given, Text: fmt.Sprintf("the site %q", site)}, {Kind: kind, Text: step}}}
	return withSteps(sc, scenarios.When, "1 hour passes", scenarios.Then, "no alert arrives")
}

// withSteps appends steps, each given by its kind and its text.
func withSteps(sc scenarios.Scenario, kindsAndTexts ...any) scenarios.Scenario {
	for i := 0; i < len(kindsAndTexts); i += 2 {
		sc.Steps = append(sc.Steps, scenarios.Step{Kind: kindsAndTexts[i].(scenarios.Kind), Text: kindsAndTexts[i+1].(string)})
	}
	return sc
}
