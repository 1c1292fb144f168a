package sweep

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"ullage/harness/console"
	"ullage/harness/outcome"
)

// Saved is a trial that was saved as a feature file: ullage run gives the same margins with the same seed.
type Saved struct {
	File string
	Text string
	Seed uint64
	Result
}

// Save runs a trial and saves it in a folder.
func (p *Plan) Save(ctx context.Context, c Trial, seeds int, folder string) (Saved, error) {
	r, err := p.try(ctx, c, seeds)
	if err != nil {
		return Saved{}, err
	}
	if r.Outcomes == nil {
		return Saved{}, errors.New(string(r.State) + ": " + r.Why)
	}
	return p.save(c, r, folder)
}

// save writes the feature file of a trial with the outcomes that its run exercised, or, where it exercised none, with
// all that it asked, and the command that made it.
func (p *Plan) save(c Trial, r Result, folder string) (Saved, error) {
	exercised := func(j Judgement) bool { return j.State != outcome.NotExercised }
	keeps := exercised
	if !slices.ContainsFunc(r.Outcomes, exercised) {
		keeps = func(j Judgement) bool { return !c.asked(j.Text) }
	}
	text := "# " + console.Clean(p.command(c.ID)) + "\n" + c.Feature(func(then string) bool {
		return slices.ContainsFunc(r.Outcomes, func(j Judgement) bool { return j.Text == then && keeps(j) })
	})
	name := filepath.FromSlash(c.File())
	return Saved{File: filepath.Join(folder, name), Text: text, Seed: r.Seed, Result: r}, write(folder, name, text)
}

// write writes a file anew, below a folder that it makes. Nothing that it makes or overwrites lies outside of it: links
// that lead there are not followed.
func write(folder, name, text string) error {
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return err
	}
	root, err := os.OpenRoot(folder)
	if err != nil {
		return err
	}
	defer root.Close()
	if err := root.MkdirAll(filepath.Dir(name), 0o777); err != nil {
		return fmt.Errorf("%s: %w", filepath.Join(folder, filepath.Dir(name)), err)
	}
	if err := root.Remove(name); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	file, err := root.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o666)
	if err != nil {
		return err
	}
	_, err = file.WriteString(text)
	return errors.Join(err, file.Close())
}

// Save saves the worst trial of each single fault that nothing protects against, and each dangerous pair.
func (r *Report) Save(folder string) ([]Saved, error) {
	var list []Saved
	keep := func(c Trial, result Result) error {
		s, err := r.Plan.save(c, result, folder)
		list = append(list, s)
		return err
	}
	for _, row := range r.rows() {
		if r.Results[row.Worst].State == Unsafe {
			if err := keep(r.Plan.Trials[row.Worst], r.Results[row.Worst]); err != nil {
				return list, err
			}
		}
	}
	for i, c := range r.PairTrials {
		if r.PairResults[i].State == Unsafe {
			if err := keep(c, r.PairResults[i]); err != nil {
				return list, err
			}
		}
	}
	return list, nil
}
