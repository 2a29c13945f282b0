//go:build !js

package main

import (
	"fmt"
	"io"
	"os"
)

func main() {
	if err := pipe(os.Stdin, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// pipe answers what it reads to the end.
func pipe(in io.Reader, out io.Writer) error {
	request, err := io.ReadAll(in)
	if err != nil {
		return err
	}
	_, err = out.Write(answer(request))
	return err
}
