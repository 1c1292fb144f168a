package sweep_test

import (
	"fmt"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ullage/fakes/stand"
	"ullage/features"
	"ullage/scenarios"
	"ullage/scenarios/sweep"
)

func TestProbe(t *testing.T) {
	l, err := scenarios.Open(features.Files)
	require.NoError(t, err)
	t0 := time.Now()
	p, err := sweep.NewPlan(t.Context(), sweep.Setup{Library: l, Site: os.Getenv("SITE"), Build: stand.Builder(l.Site, stand.Simulated()), Seed: 1, Limits: sweep.UsualLimits()})
	require.NoError(t, err)
	fmt.Println("plan", len(p.Cells), time.Since(t0))
	for _, s := range p.Stories {
		fmt.Printf("%+v\n", s)
	}
	for _, s := range p.Refused {
		fmt.Printf("%+v\n", s)
	}
	fmt.Println(p.Cells[300].Feature(func(string) bool { return true }))
	t0 = time.Now()
	rep, err := p.Run(t.Context(), sweep.Options{Jobs: 2, Pairs: 500})
	require.NoError(t, err)
	fmt.Println("run", time.Since(t0))
	n := map[sweep.State]int{}
	for _, r := range rep.Results {
		n[r.State]++
		if r.State == sweep.Broken {
			fmt.Println(r.ID, r.Why)
		}
		if r.State == sweep.Harm {
			j, _ := r.Tightest()
			fmt.Printf("HARM %s %v %.3g (%s) %v\n", r.ID, j.Margin, j.Share(), j.Text, r.Alerts)
		}
	}
	fmt.Println(n, len(rep.PairCells), rep.LeftOut)
	n = map[sweep.State]int{}
	for _, r := range rep.PairResults {
		n[r.State]++
		if r.State == sweep.Broken {
			fmt.Println(r.ID, r.Why)
		}
		if r.State == sweep.Harm {
			j, _ := r.Tightest()
			fmt.Printf("PAIR %s %v %.3g (%s) %v\n", r.ID, j.Margin, j.Share(), j.Text, r.Alerts)
		}
	}
	fmt.Println(n)
}
