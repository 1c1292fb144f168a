package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"ullage/features"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/sitefile"
	"ullage/harness/spelling"
	"ullage/harness/textfile"
	"ullage/scenarios"
	"ullage/scenarios/runs"
	"ullage/scenarios/sweep"
)

// sweepOptions are the flags of sweep.
type sweepOptions struct {
	standFlags
	runFlags
	sweep.Options
	limits   sweep.Limits
	evidence string
	trial    string
	accept   string // file
	only     []string
	save     bool
	json     bool
	figures  string
	given    []string // flags as they were given, of those that results depend on
}

// deciding are the flags that results depend on.
var deciding = []string{
	"alert",
	"clock",
	"controller",
	"dry",
	"figures",
	"lost",
	"network",
	"seed",
	"seeds",
	"site",
	"surge",
}

func sweepCommand() *cobra.Command {
	o := sweepOptions{limits: sweep.UsualLimits()}
	c := &cobra.Command{
		Use:   "sweep SITE",
		Short: "Try every fault of the catalogue on every target of a site, at each moment that matters",
		Long: "Try every fault of the catalogue alone on every target of a site, which is a site file or the name of a shipped one:\n" +
			"while it is idle, as a run opens, in its middle, as it closes, just after, as the controller boots, and all along; then the\n" +
			"pairs of a fault without a symptom and a second one. Each is judged by the limits that hold whatever happens:\n" +
			"rims, longest runs, litres lost, pumps running dry, surge, backflow, the alert of the cut-off.\n\n" +
			"Faults are injected with the worst figures of the catalogue; --figures typical injects its defaults.\n\n" +
			"Results are kept, and a sweep that was interrupted goes on where it stopped. A result belongs to its site, fault, limits,\n" +
			"controller and version of the models, and is never taken for that of another.\n\n" +
			"Exit status: 0 every single fault is safe, or among the accepted ones; 1 one is not; 2 the sweep, or a trial of it,\n" +
			"was not run. Dangerous pairs do not count. With --trial: as ullage run.",
		Example: "  ullage sweep tern-lane\n  ullage sweep my-site.yaml --accept known.txt --seeds 5\n" +
			"  ullage sweep tern-lane --trial valve.stuck-open:top-up:fill:closing",
		Args: expects("a site file or the name of a shipped site", cobra.ExactArgs(1)),
		RunE: func(c *cobra.Command, args []string) error {
			c.Flags().Visit(func(f *pflag.Flag) {
				if slices.Contains(deciding, f.Name) {
					o.given = append(o.given, "--"+f.Name, f.Value.String())
				}
			})
			return o.run(c.Context(), args[0], c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	o.standFlags.add(c.Flags())
	o.runFlags.add(c, "trials", "sweep")
	f := c.Flags()
	f.Lookup("timeout").Usage = "wall-clock time for one trial"
	f.Lookup("results").Usage = "folder for results, of which those that are there are not run again, and for saved trials; " +
		hashed
	f.StringVar(
		&o.trial,
		"trial",
		"",
		"run this trial alone: print it, save it as a feature file and leave its evidence",
	)
	f.StringArrayVar(&o.only, "only", nil, "only this fault, or fault:target; may be given again")
	f.BoolVar(
		&o.save,
		"save",
		false,
		"save the worst trial of each single fault that breaks a limit, and each dangerous pair, as feature files",
	)
	f.StringVar(
		&o.figures,
		"figures",
		string(fault.Worst),
		"figures of the faults: worst, or typical, the defaults of the catalogue",
	)
	f.StringVar(
		&o.evidence,
		"evidence",
		"evidence",
		"with --trial: folder for the evidence; an earlier run's is replaced",
	)
	f.StringVar(
		&o.accept,
		"accept",
		"",
		"file of the single faults that are known, one fault:target a line, # before remarks",
	)
	f.BoolVar(&o.json, "json", false, "print JSON, figures in SI units")
	numberVar(
		f,
		&o.Seeds,
		"seeds",
		1,
		1,
		"seeds to run each trial with that has random draws; the smallest margin counts",
	)
	numberVar(f, &o.Pairs, "pairs", 3000, 0, "pairs to try at the most")
	f.Var(
		&amount{&o.limits.Lost, quantity.Volume, "100 L"},
		"lost",
		"water that a fault may waste at the most; common practice, no source",
	)
	f.Var(
		&amount{&o.limits.Dry, quantity.Duration, "10 s"},
		"dry",
		"time that a pump may run dry in all; common practice, no source",
	)
	f.Var(
		&amount{&o.limits.Alert, quantity.Duration, "30 s"},
		"alert",
		"time from the cut-off contact operating to its alert; common practice, no source",
	)
	f.Var(
		&amount{&o.limits.Surge, quantity.Pressure, ""},
		"surge",
		"pressure allowed at a valve that shuts; default what the wall of the pipe before it is made for, or 10 bar",
	)
	return c
}

func (o *sweepOptions) run(ctx context.Context, site string, out, errOut io.Writer) error {
	runner, closeRunner, err := o.runner()
	if err != nil {
		return err
	}
	defer closeRunner()
	plan, err := o.plan(ctx, runner, site, errOut)
	if err != nil {
		return err
	}
	if o.trial != "" {
		return o.one(ctx, plan, site, out, errOut)
	}
	accepted, err := o.accepted(plan)
	if err != nil {
		return err
	}
	if err := plan.Only(o.only); err != nil {
		return fmt.Errorf("--only %w", err)
	}
	store, err := openStore(o.results, plan.Site)
	if err != nil {
		return err
	}
	defer store.Close()
	bar := progress(errOut, len(plan.Trials))
	o.Store, o.Jobs = store, o.jobs
	o.OnTrial = func(done, trials int) {
		bar.ChangeMax(trials)
		_ = bar.Set(done)
	}
	begun := time.Now()
	report, err := plan.Run(ctx, o.Options)
	_ = bar.Finish()
	if err != nil {
		return fmt.Errorf(
			"%w; %s kept in %s, and the same command goes on from there",
			err,
			spelling.Count(store.Len(), "result"),
			store.Name(),
		)
	}
	fmt.Fprintf(errOut, "%s in %.1f s\n", report.Extent(), time.Since(begun).Seconds())
	if o.save {
		if err := o.saveAll(report, errOut); err != nil {
			return err
		}
	}
	return o.tell(report, accepted, out)
}

// plan reads the site and plans the sweep.
func (o *sweepOptions) plan(
	ctx context.Context,
	runner runs.Runner,
	site string,
	errOut io.Writer,
) (*sweep.Plan, error) {
	_, err := scenarios.LoadSite(features.Files, site)
	var mistakes *sitefile.Mistakes
	if errors.As(err, &mistakes) {
		fmt.Fprintln(errOut, mistakes.Error())
		return nil, &exitError{exitBroken, spelling.Count(len(*mistakes), "error")}
	}
	if err != nil {
		return nil, err
	}
	if s := fault.Severity(o.figures); s != fault.Worst && s != fault.Typical {
		return nil, fmt.Errorf("--figures %q: expected %s or %s", o.figures, fault.Worst, fault.Typical)
	}
	settings, err := o.settings(&o.runFlags)
	if err != nil {
		return nil, err
	}
	library, _, err := scenarios.Load(features.Files, siteFiles(site))
	if err != nil {
		return nil, err
	}
	setup := sweep.Setup{Library: library, Site: strings.TrimSuffix(filepath.Base(site), ".yaml"), Options: o.given,
		Runner: runner, Stand: settings.Stand, Seed: o.seed, Limits: o.limits, Figures: fault.Severity(o.figures), Timeout: o.timeout}
	if siteFiles(site) != nil {
		setup.File = site
	}
	return sweep.NewPlan(ctx, setup)
}

// siteFiles is the path of a site that is not a shipped one.
func siteFiles(site string) []string {
	if _, err := os.Stat(site); err != nil {
		return nil
	}
	return []string{site}
}

// accepted reads the single faults that are known.
func (o *sweepOptions) accepted(plan *sweep.Plan) ([]string, error) {
	if o.accept == "" {
		return nil, nil
	}
	text, err := textfile.Read(o.accept, textfile.Written)
	if err != nil {
		return nil, err
	}
	return plan.ReadAccepted(o.accept, text)
}

// tell prints the report and says what it means for the exit status.
func (o *sweepOptions) tell(report *sweep.Report, accepted []string, out io.Writer) error {
	var err error
	if o.json {
		err = report.WriteJSON(out, accepted)
	} else {
		width, _ := terminal(out)
		err = report.Print(out, accepted, width, colours(out))
	}
	if err != nil {
		return err
	}
	if n := len(report.NotRun()); n > 0 {
		return &exitError{exitBroken, fmt.Sprintf("%d trials were not run", n)}
	}
	for _, id := range report.Unsafe() {
		if !sweep.Accepts(accepted, id) {
			return &exitError{status: exitFailed}
		}
	}
	return nil
}

// one runs a single trial as ullage run does, from the file that it is saved in.
func (o *sweepOptions) one(ctx context.Context, plan *sweep.Plan, site string, out, errOut io.Writer) error {
	trial, err := plan.Find(o.trial)
	if err != nil {
		return fmt.Errorf("--trial %w", err)
	}
	saved, err := plan.Save(ctx, trial, o.Seeds, o.results)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "%s\n", saved.Text)
	r := runOptions{standFlags: o.standFlags, runFlags: o.runFlags, evidence: o.evidence, nominal: true}
	r.seed, r.results = saved.Seed, ""
	return r.run(ctx, append([]string{saved.File}, siteFiles(site)...), out, errOut)
}

// saveAll saves what a reader of the report will want to look at.
func (o *sweepOptions) saveAll(report *sweep.Report, errOut io.Writer) error {
	saved, err := report.Save(o.results)
	if err == nil {
		fmt.Fprintf(errOut, "%s saved as feature files in %s\n", spelling.Count(len(saved), "trial"), o.results)
	}
	return err
}
