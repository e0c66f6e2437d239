package cli

import (
	"context"
	"io"
	"io/fs"

	"coldstart/cmd/coldstart/internal/school"
	"coldstart/debug"
	"coldstart/debug/bringup"
	"coldstart/debug/lesson"
	"coldstart/debug/repl"
)

// holdLesson holds the lesson of the training office with whoever types.
func holdLesson(ctx context.Context, e *env) error {
	if e.json {
		return &unusable{where: "--json", what: "a lesson is no report", next: "leave it out"}
	}
	o, err := bringup.Open(func(name string) ([]byte, error) { return fs.ReadFile(school.Files(), name) }, school.List)
	if err != nil {
		return err
	}
	l, err := lesson.Read(school.LessonFile, school.Lesson, o.Code, o.Plan.Names())
	if err != nil {
		return err
	}
	s := &sitting{env: e, opens: func(desk *debug.Session, out io.Writer) repl.Desk { return lesson.Begin(l, desk, o.Code, out) }}
	s.start = &startOption{office: &officeOption{env: e, fallback: teaches}, fill: 1}
	b, _, err := s.start.begin(o)
	if err != nil {
		return err
	}
	if s.personSits() {
		return s.converse(o, b, nil)
	}
	return s.follow(ctx, o, b, nil, "standard input", e.in)
}
