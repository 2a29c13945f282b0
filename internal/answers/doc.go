// Package answers has one test: random questions to every public package give the
// same answers before and after a change that is to change no number.
//
// Each case is drawn from a seed of its own, by family and number. Its answers are
// lines of text: family, case, key and values. Without more, a few cases of each
// family are asked, and some of their lines compared with testdata/answers.txt.
// UPDATE_GOLDEN=1 writes that file.
//
// With FITGEOM_ANSWERS=FILE all cases are asked, and all lines written to the file
// with all digits; nothing is compared. FITGEOM_ANSWERS_SHARE=0.1 asks a tenth of
// the cases: such files of two versions are then compared line by line, as in
//
//	FITGEOM_ANSWERS=$PWD/new.txt go test -count=1 -timeout 60m ./internal/answers
package answers
