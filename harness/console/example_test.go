package console_test

import (
	"fmt"

	"ullage/harness/console"
)

// A command that is printed for somebody to paste is quoted as a shell wants it.
func ExampleShellWord() {
	fmt.Println("ullage run", console.ShellWord("my night.feature"))
	// Output: ullage run 'my night.feature'
}
