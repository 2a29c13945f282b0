// Package answers has one test: random questions to every public package give the same
// answers before and after a change that should change no number.
//
// Each case is drawn from its own seed, by family and number. Its answers are lines of
// text: family, case, key and values. By default a few cases of each family are asked,
// and some of their lines are compared with testdata/answers.txt. UPDATE_GOLDEN=1 writes
// that file.
//
// With FITGEOM_ANSWERS=FILE all cases are asked, and all lines are written to the file
// with all digits; nothing is compared. FITGEOM_ANSWERS_SHARE=0.1 asks a tenth of the
// cases. Compare the files of two versions line by line, as written by
//
//	FITGEOM_ANSWERS=$PWD/new.txt go test -count=1 -timeout 60m ./internal/answers
package answers
