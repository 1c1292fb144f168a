package feature

import "fmt"

// Kind is what a step does in a scenario.
type Kind uint8

// The kinds of step, in the order in which a scenario has them.
const (
	Given Kind = 1 << iota // what was there before
	When                   // a fault or stimulus, and time that passes
	Then                   // what must hold
)

// String is the keyword of the kind.
func (k Kind) String() string {
	switch k {
	case Given:
		return "Given"
	case When:
		return "When"
	case Then:
		return "Then"
	case Given | When:
		return "Given or When"
	}
	return "?"
}

// MarshalText writes the keyword; * for a step without a kind.
func (k Kind) MarshalText() ([]byte, error) {
	if k == 0 {
		return []byte("*"), nil
	}
	return []byte(k.String()), nil
}

// UnmarshalText reads it.
func (k *Kind) UnmarshalText(text []byte) error {
	for _, known := range []Kind{0, Given, When, Then} {
		if word, _ := known.MarshalText(); string(word) == string(text) {
			*k = known
			return nil
		}
	}
	return fmt.Errorf("read %q; expected Given, When, Then or *", text)
}
