package main

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"path/filepath"
	"sync"
	"time"

	"github.com/schollz/progressbar/v3"
	"github.com/spf13/cobra"

	"ullage/features"
	"ullage/harness"
	"ullage/harness/evidence"
	"ullage/harness/outcome"
	"ullage/harness/spelling"
	"ullage/scenarios"
	"ullage/scenarios/runs"
)

// runOptions are the flags of run.
type runOptions struct {
	standFlags
	runFlags
	selection scenarios.Selection
	evidence  string
	shuffle   int64
	nominal   bool
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
			"A run that is interrupted stops at once, writes the evidence of what it has run, and exits with status 2.\n\n" +
			"Exit status: 0 every outcome was run, exercised and held; 1 one failed or was not exercised;\n" +
			"2 one could not be made or was not run.",
		Example: "  ullage run\n  ullage run features/flood.feature:12\n  ullage run --tags '@hazard-flood and not @good-day'\n" +
			"  ullage run --controller exec:./controller my.feature my-site.yaml",
		RunE: func(c *cobra.Command, paths []string) error {
			return o.run(c.Context(), paths, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	selectFlags(c, &o.selection)
	o.standFlags.add(c.Flags())
	o.addProof(c.Flags())
	o.runFlags.add(c, "scenarios", "")
	c.Flags().StringVar(&o.evidence, "evidence", "evidence", "folder for the evidence; an earlier run's is replaced")
	c.Flags().
		Int64Var(&o.shuffle, "shuffle", 0, "run in another order, drawn from this number; the evidence keeps its order")
	c.Flags().
		BoolVar(&o.nominal, "nominal", false, "skip the limits of the sites' tolerances: nothing is reported as marginal")
	return c
}

func (o *runOptions) run(ctx context.Context, paths []string, out, errOut io.Writer) error {
	library, spots, err := scenarios.Load(features.Files, paths)
	if err != nil {
		return err
	}
	o.selection.Spots = spots
	settings, err := o.settings(&o.runFlags)
	if err != nil {
		return err
	}
	settings.Nominal, settings.Trace = o.nominal, true
	meta, err := o.meta(library, paths)
	if err != nil {
		return err
	}
	chosen, err := library.Select(o.selection)
	if err != nil { // while the evidence of the last run still stands
		tellSites(errOut, library, chosen)
		return err
	}
	if meta.Provenance, err = provenance(library, chosen, o.Controller, o.seed); err != nil {
		return err
	}
	var sites []string
	for _, x := range chosen {
		sites = append(sites, x.Script(0).Site)
	}
	meta.Assumed = library.Assumed(sites)
	runner, closeRunner, err := o.runner()
	if err != nil {
		return err
	}
	defer closeRunner()
	runner, closeStore, err := o.keeping(runner, "run")
	if err != nil {
		return err
	}
	defer closeStore()
	writer, err := evidence.Open(o.evidence, meta)
	if err != nil {
		return err
	}
	bar := progress(errOut, len(chosen))
	stopFlushing := everySecond(func() { _ = writer.Flush() }) // a failure is kept and reported by Add
	var writing error
	stopped := 0
	_, err = runs.Suite(ctx, runs.Options{
		Library: library, Select: o.selection, Runner: runner, Concurrency: o.jobs, Shuffle: o.shuffle,
		Settings: settings, Watch: writer.Watch,
		OnResult: func(r *harness.Result) {
			if err := writer.Add(r); err != nil && writing == nil {
				writing = err
			}
			r.Run = nil // or the traces of all scenarios would be in memory at the end
			if ctx.Err() != nil {
				stopped++
			}
			_ = bar.Add(1)
		},
	})
	_ = bar.Finish()
	stopFlushing()
	tellSites(errOut, library, chosen)
	err = cmp.Or(err, writing)
	summary, closing := writer.Close(err == nil && stopped == 0)
	if err = cmp.Or(err, closing); err != nil {
		return err
	}
	if stopped > 0 {
		return fmt.Errorf("%w: %d of %s had been run; their evidence is in %s", context.Cause(ctx), len(chosen)-stopped,
			spelling.Count(len(chosen), "scenario"), filepath.Clean(o.evidence))
	}
	width, _ := terminal(out)
	if err := evidence.Table(out, summary, filepath.Clean(o.evidence), width, colours(out)); err != nil {
		return err
	}
	return status(summary)
}

// meta is what the evidence says of the run as a whole. The error is a mistake in the worksheet.
func (o *runOptions) meta(library *scenarios.Library, paths []string) (evidence.Meta, error) {
	meta := evidence.Meta{Controller: o.Controller, Seed: o.seed, Options: o.options()}
	for _, p := range paths { // a replay names its scenario, and finds no site file but those beside it
		if filepath.Ext(p) == ".yaml" {
			meta.Options = append(meta.Options, p)
		}
	}
	sheet, suiteTags, whole, problems := library.Worksheet()
	if len(problems) > 0 {
		return meta, problems
	}
	if sheet != nil {
		meta.Worksheet = &evidence.Worksheet{Sheet: sheet, SuiteTags: suiteTags, Whole: whole}
	}
	return meta, nil
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
	return progressbar.NewOptions(
		scenarios,
		progressbar.OptionSetWriter(w),
		progressbar.OptionSetDescription("scenarios"),
		progressbar.OptionShowCount(),
		progressbar.OptionSetPredictTime(false),
		progressbar.OptionClearOnFinish(),
		progressbar.OptionThrottle(50*time.Millisecond),
	)
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
