package sweep

import (
	"ullage/harness/fault"
	"ullage/harness/sitefile"
	"ullage/scenarios"
)

// placement is a fault of the catalogue on a target of the site.
type placement struct {
	fault.Injection
	step  string // injects it in the sequence
	given string // has it there all along, without an end; "" for an event of the sequence
}

// placements are every fault of the catalogue on every target of a site that has what the fault needs, and the refusals
// of the other targets of its kind.
func placements(site *sitefile.Site, figures fault.Severity) (list []placement, refused []Refusal, err error) {
	for _, e := range fault.Catalogue() {
		if err := e.Simulated(); err != nil {
			refused = append(refused, Refusal{e.ID, "any " + e.DeviceKind, err.Error()})
			continue
		}
		fitting, unfit := e.Targets(site)
		for _, u := range unfit {
			refused = append(refused, Refusal{u.Fault, u.Target, u.Why})
		}
		for _, target := range fitting {
			p := placement{Injection: e.Injection(target, figures)}
			if p.step, err = p.Sentence(); err != nil {
				return nil, nil, err
			}
			if !e.Event {
				standing := p.Injection
				standing.For = 0
				if p.given, err = standing.Sentence(); err != nil {
					return nil, nil, err
				}
			}
			list = append(list, p)
		}
	}
	return list, refused, nil
}

// withSteps appends steps, each given by its kind and its text.
func withSteps(sc scenarios.Scenario, kindsAndTexts ...any) scenarios.Scenario {
	for i := 0; i < len(kindsAndTexts); i += 2 {
		sc.Steps = append(sc.Steps, scenarios.Step{Kind: kindsAndTexts[i].(scenarios.Kind),
			Text: kindsAndTexts[i+1].(string)})
	}
	return sc
}
