package link_test

import (
	"log"
	"os"

	"ullage/fakes/controller"
	"ullage/harness"
	"ullage/harness/link"
	"ullage/harness/sitefile"
)

// A whole program that ullage run --controller exec:./program tests: the simulated controller in the place of your own.
func ExampleServe() {
	newController := func(spec sitefile.Controller, terminals []harness.Terminal) (harness.Controller, error) {
		return controller.New(spec, terminals)
	}
	if err := link.Serve(os.Stdin, os.Stdout, "my firmware 1.4", newController); err != nil {
		log.Fatal(err)
	}
}
