package exchange

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/record"
	"example.com/fitgeom/fitgeom/request"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/strict"
	"example.com/fitgeom/internal/work"
)

// Answer answers a document with a document. It is all that a program in another language
// needs: it opens no files, knows no clock and remembers nothing.
//
//	fitgeom/request with a frame     fitgeom/results: the best builds, or as it wants
//	                                 fitgeom/obstacles or fitgeom/steps of the best
//	fitgeom/request with sizes       fitgeom/results: the best build of each of the best sizes,
//	                                 or as it wants fitgeom/ranking
//	fitgeom/request with neither     fitgeom/position: that of its target
//	fitgeom/position, fitgeom/survey,
//	fitgeom/tape_survey, fitgeom/sheet,
//	fitgeom/fix, fitgeom/record      fitgeom/position
//	fitgeom/design_problem           fitgeom/design: the frame, or what contradicts
//	fitgeom/recording                fitgeom/motion: all measures that it shows
//
// The response is always a document. If the request cannot be answered it is of kind fitgeom/faults
// with all faults, each with the line and the JSON pointer of its member, and err has the same:
// nil tells that there are none. If the context ends, there is one fault of
// class [contact.ErrBudget], and err wraps the context's.
//
// Sizes on which no parts of the shelf fit are left out. A size that is faulty is a fault of
// the request.
func Answer(ctx context.Context, request []byte) (response []byte, err error) {
	defer func() {
		if r := recover(); r != nil { // a mistake in this module is no reason to end a program in another language
			err = fmt.Errorf("exchange: a mistake in the library: %v", r)
			response = refusal(err)
		}
	}()
	var b bytes.Buffer
	if err := answer(ctx, &b, request); err != nil {
		return refusal(err), err
	}
	return b.Bytes(), nil
}

// refusal is the document of what is wrong.
func refusal(err error) []byte {
	var all []contact.Error
	for _, f := range contact.Faults(err) {
		all = append(all, *f)
	}
	if len(all) == 0 { // no fault of the request
		all = []contact.Error{{Path: strict.Document, Value: err.Error(), Want: "to be asked again"}}
		if errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
			all[0].Want, all[0].Class = "more time", contact.ErrBudget
		}
	}
	data, _ := faultsKind.write(nil, all, strict.Head{Version: strict.Version{Major: current.Major}}, new(strict.Beside))
	return data
}

// answer writes the answer.
func answer(ctx context.Context, w io.Writer, data []byte) error {
	if len(data) > MaxSize {
		return tooLarge(strict.Document)
	}
	schema, _, err := Kind(ctx, data)
	switch {
	case err == nil && schema == designProblemKind.schema:
		return tell(ctx, w, data, func(p design.Problem) (r design.Report, err error) {
			d, err := p.Solve(ctx)
			return d.Report(), err
		})
	case err == nil && schema == recordingKind.schema:
		return tell(ctx, w, data, func(r motion.Recording) (motion.Report, error) {
			m, err := r.Analyse(ctx, motion.Settings{})
			if err != nil {
				return motion.Report{}, err
			}
			return m.Report(ctx)
		})
	case err == nil && schema != requestKind.schema: // else the reader says what is wrong with it
		target, _, err := ReadTarget(ctx, bytes.NewReader(data))
		if err != nil {
			return err
		}
		solved, err := target.Solve()
		if err != nil {
			return located(ctx, data, bare(err, target.Kind()))
		}
		return Write(ctx, w, solved.Position, "")
	}
	r, _, err := Read[request.Request](ctx, bytes.NewReader(data))
	if err != nil {
		return err
	}
	if !r.Bikes() && r.Want == request.Builds {
		solved, err := r.Target.Solve()
		if err != nil {
			var f fault.List
			f.In("target", err)
			return located(ctx, data, f.Err())
		}
		return Write(ctx, w, solved.Position, "")
	}
	if err := reply(ctx, w, &r); err != nil {
		return located(ctx, data, err)
	}
	return nil
}

// tell answers a document of one kind with one of another.
func tell[Q, A Content](ctx context.Context, w io.Writer, data []byte, answer func(Q) (A, error)) error {
	asked, _, err := Read[Q](ctx, bytes.NewReader(data))
	if err != nil {
		return err
	}
	a, err := answer(asked)
	if err != nil {
		return located(ctx, data, err)
	}
	return Write(ctx, w, a, "")
}

// reply writes what a request for a bike wants.
func reply(ctx context.Context, w io.Writer, r *request.Request) error {
	p, err := r.Problem()
	if err != nil {
		return err
	}
	if len(r.Sizes) > 0 {
		return replySizes(ctx, w, r, p)
	}
	found, err := p.Solve(ctx)
	if err != nil {
		return err
	}
	if r.Want == request.Builds || len(found.Candidates) == 0 {
		return Write(ctx, w, found.Candidates, "")
	}
	best := found.Candidates[0]
	if r.Want == request.Steps {
		steps, err := solve.SetUp(best, convert.Basis{SeatAngle: best.Build.Frame.Geometry.SeatAngle})
		if err != nil {
			return err
		}
		return Write(ctx, w, steps, "")
	}
	obstacles, err := p.Explain(ctx, best)
	if err != nil {
		return err
	}
	return Write(ctx, w, obstacles, "")
}

// replySizes writes the best sizes, as a request wants them.
func replySizes(ctx context.Context, w io.Writer, r *request.Request, p solve.Problem) error {
	index, err := rank.NewIndex(ctx, r.Sizes)
	if err != nil {
		return err
	}
	ranked, err := index.Rank(ctx, p)
	if err != nil {
		return err
	}
	if r.Want == request.Ranking {
		return Write(ctx, w, ranked, "")
	}
	var all []fitgeom.Candidate
	for _, c := range ranked.Choices {
		if c.Fault == nil {
			all = append(all, c.Best)
		}
	}
	return Write(ctx, w, all, "")
}

// located returns the faults of a value with the pointers and lines of the document that it
// was read from.
func located(ctx context.Context, data []byte, err error) error {
	if len(contact.Faults(err)) == 0 {
		return err
	}
	m := work.New(ctx, -1)
	found := merge(m, unmarked(data), fault.List{}, err, new(strict.Beside))
	return cmp.Or(m.Err("the faults not found yet"), found.Err())
}

// bare takes the name of a member off the faults' paths.
func bare(err error, name string) error {
	var f fault.List
	fault.Each(err, func(one *fault.Fault) {
		named := *one
		if named.Path == name {
			named.Path = ""
		} else if len(named.Path) > len(name) && named.Path[:len(name)+1] == name+"." {
			named.Path = named.Path[len(name)+1:]
		}
		f.Put(named)
	})
	return cmp.Or(f.Err(), err)
}

// ReadTarget reads a position from a document of any kind that tells one: a position, a
// survey, a tape survey, a sheet, a fix, a record, or a request with one of them. The target is
// not solved; that of a record is a fix with its position and covariance, carried to where
// all packages have the saddle reference. Faults are those of [Read], of [record.Record.Target], and [contact.ErrConflict] for a document of another kind.
func ReadTarget(ctx context.Context, r io.Reader) (t request.Target, note string, err error) {
	from := newSource(ctx, r, strict.Document)
	data, err := from.all()
	if err != nil {
		return t, "", err
	}
	schema, _, err := head(from.meter, unmarked(data))
	if err != nil {
		schema = positionKind.schema // whose reader says what is wrong with it
	}
	in := bytes.NewReader(data)
	switch schema {
	case surveyKind.schema:
		t.Survey, note, err = Read[survey.Survey](ctx, in)
	case tapeKind.schema:
		t.Tape, note, err = Read[survey.TapeSurvey](ctx, in)
	case sheetKind.schema:
		t.Sheet, note, err = Read[convert.Sheet](ctx, in)
	case fixKind.schema:
		t.Fix, note, err = Read[survey.Fix](ctx, in)
	case recordKind.schema:
		var kept record.Record
		if kept, note, err = Read[record.Record](ctx, in); err != nil {
			return t, "", err
		}
		t.Fix = survey.Fix{Findings: kept.Fix.Findings, Free: kept.Fix.Free}
		if t.Fix.Position, t.Fix.Covariance, err = kept.Target(); err != nil {
			return request.Target{}, "", located(ctx, data, err)
		}
	case requestKind.schema:
		var asked request.Request
		asked, note, err = Read[request.Request](ctx, in)
		t = asked.Target
	case positionKind.schema:
		t.Position, note, err = Read[contact.Position](ctx, in)
	default:
		const want = "a document that tells a position: fitgeom/position, survey, tape_survey, sheet, fix, record or request"
		err = at(from.meter, data, "schema", fmt.Sprintf("%q", fault.Name(schema)), want, contact.ErrConflict)
	}
	return t, note, err
}
