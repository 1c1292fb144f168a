package main

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"path/filepath"
	"runtime"
	"sync"
	"time"

	"github.com/schollz/progressbar/v3"
	"github.com/spf13/cobra"

	"ullage/features"
	"ullage/harness"
	"ullage/harness/evidence"
	"ullage/harness/outcome"
	"ullage/scenarios"
)

// runOptions are the flags of run.
type runOptions struct {
	selection scenarios.Selection
	seed      uint64
	standFlags
	evidence string
	jobs     int
	shuffle  int64
	nominal  bool
	timeout  time.Duration
}

func runCommand() *cobra.Command {
	var o runOptions
	c := &cobra.Command{
		Use:   "run [FEATURE[:LINE] | SITE | FOLDER]...",
		Short: "Run scenarios and write the evidence",
		Long: "Run scenarios in virtual time and write the evidence: run.log, run.json, trace.csv, junit.xml, report.html,\n" +
			"provenance.json, and worksheet.html and worksheet.csv where the features have a worksheet of failure modes,\n" +
			"hazards.yaml. Of a run that was killed, ullage report makes them from what it had logged.\n" +
			"Without paths the shipped scenarios run on the shipped sites.\n\n" +
			"Exit status: 0 every outcome was run, exercised and held; 1 one failed or was not exercised;\n" +
			"2 one could not be made or was not run.",
		Example: "  ullage run\n  ullage run features/flood.feature:12\n  ullage run --tags '@hazard-flood and not @good-day'\n" +
			"  ullage run --controller exec:./controller my.feature my-site.yaml",
		RunE: func(c *cobra.Command, paths []string) error {
			return o.run(c.Context(), paths, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	selectFlags(c, &o.selection)
	c.Flags().Uint64Var(&o.seed, "seed", 1, "seed of everything that is drawn")
	o.standFlags.add(c.Flags())
	o.addProof(c.Flags())
	c.Flags().StringVar(&o.evidence, "evidence", "evidence", "folder for the evidence; an earlier run's is replaced")
	numberVar(c.Flags(), &o.jobs, "jobs", runtime.NumCPU(), 1, "scenarios at once")
	c.Flags().Int64Var(&o.shuffle, "shuffle", 0, "run in another order, drawn from this number; the evidence keeps its order")
	c.Flags().BoolVar(&o.nominal, "nominal", false, "skip the limits of the sites' tolerances: nothing is reported as marginal")
	o.timeout = 2 * time.Minute
	c.Flags().Var(wait{&o.timeout}, "timeout", "wall-clock time for one scenario")
	return c
}

// selectFlags adds the flags that choose scenarios.
func selectFlags(c *cobra.Command, s *scenarios.Selection) {
	c.Flags().StringVar(&s.Tags, "tags", "", "only scenarios whose tags satisfy this expression: @a and not (@b or @c)")
	c.Flags().StringArrayVar(&s.Names, "name", nil, "only scenarios whose name contains this; may be given again")
}

func (o *runOptions) run(ctx context.Context, paths []string, out, errOut io.Writer) error {
	library, spots, err := scenarios.Load(features.Files, paths)
	if err != nil {
		return err
	}
	o.selection.Spots = spots
	makers, err := o.makers()
	if err != nil {
		return err
	}
	stands := makers.On(library.Site)
	proof, err := o.proofOf(stands)
	if err != nil {
		return err
	}
	if stands.Exclusive() {
		o.jobs = 1
	}
	meta := evidence.Meta{Controller: o.controller, Seed: o.seed, Options: o.options()}
	for _, p := range paths { // a replay names its scenario, and finds no site file but those beside it
		if filepath.Ext(p) == ".yaml" {
			meta.Options = append(meta.Options, p)
		}
	}
	sheet, suiteTags, whole, problems := library.Worksheet()
	switch {
	case len(problems) > 0:
		return problems
	case sheet != nil:
		meta.Worksheet = &evidence.Worksheet{Sheet: sheet, SuiteTags: suiteTags, Whole: whole}
	}
	chosen, err := library.Select(o.selection)
	if err != nil { // while the evidence of the last run still stands
		tellSites(errOut, library, chosen)
		return err
	}
	if meta.Provenance, err = provenance(library, chosen, o.controller, o.seed); err != nil {
		return err
	}
	writer, err := evidence.Open(o.evidence, meta)
	if err != nil {
		return err
	}
	bar := progress(errOut, len(chosen))
	stopFlushing := everySecond(func() { _ = writer.Flush() }) // a failure is kept and reported by Add
	var writing error
	_, err = scenarios.Run(ctx, scenarios.Options{
		Library: library, Select: o.selection, Seed: o.seed, Concurrency: o.jobs, Shuffle: o.shuffle, Nominal: o.nominal, Timeout: o.timeout,
		Build: stands.Build, Proof: proof,
		Watch: writer.Watch,
		OnResult: func(r *harness.Result) {
			if err := writer.Add(r); err != nil && writing == nil {
				writing = err
			}
			_ = bar.Add(1)
		},
	})
	_ = bar.Finish()
	stopFlushing()
	tellSites(errOut, library, chosen)
	err = cmp.Or(err, writing)
	summary, closing := writer.Close(err == nil)
	if err = cmp.Or(err, closing); err != nil {
		return err
	}
	width, _ := terminal(out)
	if err := evidence.Table(out, summary, filepath.Clean(o.evidence), width, colours(out)); err != nil {
		return err
	}
	return status(summary)
}

// everySecond calls again and again until it is stopped.
func everySecond(call func()) (stop func()) {
	ticker, done := time.NewTicker(time.Second), make(chan struct{})
	var ended sync.WaitGroup
	ended.Go(func() {
		for {
			select {
			case <-ticker.C:
				call()
			case <-done:
				return
			}
		}
	})
	return func() {
		ticker.Stop()
		close(done)
		ended.Wait()
	}
}

// tellSites prints everything that is wrong with the site files: a scenario on such a site tells of the first only.
func tellSites(errOut io.Writer, library *scenarios.Library, chosen []*scenarios.Case) {
	if problems := scenarios.SiteProblems(library, chosen); len(problems) > 0 {
		fmt.Fprintln(errOut, problems.Error())
	}
}

// progress is a bar on w while it is a terminal, and nothing otherwise.
func progress(w io.Writer, scenarios int) *progressbar.ProgressBar {
	if _, is := terminal(w); !is {
		return progressbar.DefaultSilent(int64(scenarios))
	}
	return progressbar.NewOptions(scenarios, progressbar.OptionSetWriter(w), progressbar.OptionSetDescription("scenarios"),
		progressbar.OptionShowCount(), progressbar.OptionSetPredictTime(false), progressbar.OptionClearOnFinish(),
		progressbar.OptionThrottle(50*time.Millisecond))
}

// status turns the states of a run into the exit status.
func status(s *evidence.Summary) error {
	failed := false
	for _, r := range s.Scenarios {
		switch r.State.State {
		case outcome.Broken, outcome.NotRun, outcome.NotValid:
			return &exitError{status: exitBroken}
		case outcome.Held:
		default:
			failed = true
		}
	}
	if failed {
		return &exitError{status: exitFailed}
	}
	return nil
}
