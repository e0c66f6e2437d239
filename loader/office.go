package loader

import (
	"io/fs"
	"strings"

	"coldstart/loader/list"
)

// An Office names the files of one office. A file not named has an empty Text. All are names within the office's folder,
// written with forward strokes.
type Office struct {
	Name    string
	Machine list.Word
	Layout  list.Word // of all its tapes
	Areas   list.Word
	Chase   list.Word
	March   list.Word     // the template of march tests by orders
	Wired   []Seat        // files of plain words, by the area of wired store that holds them
	Tapes   []Seat        // recordings, by the channel they are seated on
	Counts  []Count       // where the program counts calls
	Codes   []list.Word   // lists of codes that teletypewriters speak
	Devices []list.Record // device CHANNEL KIND and what more that kind takes; read by those who make devices
}

// A Count says where in store the program counts something.
type Count struct {
	What string // offered, set-up, answered, released
	At   list.Word
}

// A Seat names the file that belongs in one place of the machine.
type Seat struct {
	At    list.Word // an area or a channel
	File  list.Word
	Label string // what is written on the reel; empty for wired store
}

// officeForms are the records of an office list.
var officeForms = []list.Form{
	{Shape: `office "NAME"`, Min: 1, Max: 1, Once: true, Needed: true},
	{Shape: "machine FILE", Min: 1, Max: 1, Once: true, Needed: true},
	{Shape: "layout FILE", Min: 1, Max: 1, Once: true},
	{Shape: "areas FILE", Min: 1, Max: 1, Once: true},
	{Shape: "chase FILE", Min: 1, Max: 1, Once: true},
	{Shape: "march FILE", Min: 1, Max: 1, Once: true},
	{Shape: "wired AREA FILE", Min: 2, Max: 2},
	{Shape: `tape CHANNEL FILE "LABEL"`, Min: 2, Max: 3},
	{Shape: "count offered|set-up|answered|released ADDRESS", Min: 2, Max: 2},
	{Shape: "codes FILE", Min: 1, Max: 1},
	{Shape: "device CHANNEL KIND WORDS...", Min: 2, Max: -1},
}

// ReadOffice reads an office list; name is the file name shown in errors, which are a go/scanner.ErrorList.
func ReadOffice(name string, src []byte) (*Office, error) {
	records, err := list.Read(name, src)
	if err != nil {
		return nil, err
	}
	var errs list.Errors
	o := &Office{}
	channels, areas := lines{}, lines{}
	for _, r := range list.Check(&errs, name, records, officeForms) {
		args := r.Args()
		switch r.Name() {
		case "office":
			o.Name = args[0].Text
		case "machine":
			o.Machine = file(&errs, args[0])
		case "layout":
			o.Layout = file(&errs, args[0])
		case "areas":
			o.Areas = file(&errs, args[0])
		case "chase":
			o.Chase = file(&errs, args[0])
		case "march":
			o.March = file(&errs, args[0])
		case "wired":
			o.Wired = areas.take(&errs, o.Wired, "area", args)
		case "tape":
			o.Tapes = channels.take(&errs, o.Tapes, "channel", args)
		case "count":
			kinds := []string{"offered", "set-up", "answered", "released"}
			if i := args[0].OneOf(&errs, "count", kinds...); i >= 0 {
				o.Counts = append(o.Counts, Count{kinds[i], args[1]})
			}
		case "codes":
			o.Codes = append(o.Codes, file(&errs, args[0]))
		case "device":
			o.Devices = append(o.Devices, r)
		}
	}
	if err := errs.Err(); err != nil {
		return nil, err
	}
	return o, nil
}

// file takes w as a file name. It must stay within the folder, on every host it may be carried to.
func file(errs *list.Errors, w list.Word) list.Word {
	if !fs.ValidPath(w.Text) || w.Text == "." || strings.ContainsAny(w.Text, `\:~`) {
		errs.Add(w.Pos, "%q cannot be a file of the office; name one within its folder, without going up", w.Text)
	}
	return w
}

// lines says on which line each place got its file.
type lines map[string]int

// take adds the seat that args name to those of its kind, unless its place is taken.
func (l lines) take(errs *list.Errors, all []Seat, kind string, args []list.Word) []Seat {
	seat := Seat{At: args[0], File: file(errs, args[1])}
	if line, taken := l[seat.At.Text]; taken {
		errs.Add(seat.At.Pos, "%s %s already has its file from line %d; strike out one of them", kind, seat.At.Text, line)
		return all
	}
	l[seat.At.Text] = seat.At.Pos.Line
	if len(args) == 3 {
		seat.Label = args[2].Text
	}
	return append(all, seat)
}
