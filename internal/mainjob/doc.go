// Package mainjob has one test: the main job from documents to documents, through
// every public package, gives the same numbers in the same order on every
// processor. Its golden file is testdata/main_job.txt.
package mainjob
