//go:build !js

package main

import (
	"fmt"
	"io"
	"os"
)

func main() {
	err := stray(os.Args[1:])
	if err == nil {
		err = pipe(os.Stdin, os.Stdout)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// stray refuses arguments, which would wait for ever for a document that nobody pipes.
func stray(args []string) error {
	if len(args) == 0 {
		return nil
	}
	return fmt.Errorf("%q: want no arguments: the request is read from standard input, as in door <request.json", args[0])
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
