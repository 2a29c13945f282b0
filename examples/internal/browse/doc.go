// Package browse holds the test that opens the pages of all examples in a browser.
package browse
