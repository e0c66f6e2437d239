package main

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"slices"
	"strings"
	"testing"
)

// module is the import path of the root folder.
const module = "coldstart"

// A goFile is what the layout is judged by.
type goFile struct {
	path, pkg string // from the root folder
	test      bool
	generated bool
	lines     int
	docs      int // package comments: 0 or 1
	fset      *token.FileSet
	tree      *ast.File
}

// readHouse parses every Go file that the go command would build, whatever its build constraints.
func readHouse(t *testing.T, root fs.FS) []goFile {
	t.Helper()
	var files []goFile
	err := fs.WalkDir(root, ".", func(name string, e fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case e.IsDir() && name != "." && (strings.ContainsAny(e.Name()[:1], "._") || e.Name() == "testdata"):
			return fs.SkipDir
		case e.IsDir() || path.Ext(name) != ".go":
			return nil
		}
		source, err := fs.ReadFile(root, name)
		if err != nil {
			return err
		}
		f := goFile{path: name, pkg: path.Dir(name), test: strings.HasSuffix(name, "_test.go"), lines: bytes.Count(source, []byte("\n")), fset: token.NewFileSet()}
		f.tree, err = parser.ParseFile(f.fset, name, source, parser.ParseComments)
		if err != nil {
			return err
		}
		f.generated = ast.IsGenerated(f.tree)
		if f.tree.Doc != nil {
			f.docs = 1
		}
		files = append(files, f)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// checkLayout gives a sentence for each thing that stands where it must not.
func checkLayout(files []goFile) []string {
	var wrong []string
	for _, f := range files {
		level, placed := levels[f.pkg]
		if !placed {
			wrong = append(wrong, fmt.Sprintf("%s: %s has no level in the import table", f.path, f.pkg))
			continue
		}
		for _, imp := range f.tree.Imports {
			to := strings.Trim(imp.Path.Value, `"`)
			for _, rule := range []func(goFile, int, string) string{checkOwn, checkLibrary, checkStandard} {
				if says := rule(f, level, to); says != "" {
					wrong = append(wrong, fmt.Sprintf("%s: %s", f.fset.Position(imp.Pos()), says))
				}
			}
			if imp.Name != nil && imp.Name.Name == "." {
				wrong = append(wrong, fmt.Sprintf("%s: imports %s with a dot, which hides where a name comes from", f.fset.Position(imp.Pos()), to))
			}
		}
		if !f.test {
			wrong = append(wrong, checkCode(f, level)...)
		}
	}
	return wrong
}

// within says whether the import path is the prefix or under it.
func within(to, prefix string) bool { return to == prefix || strings.HasPrefix(to, prefix+"/") }

// checkOwn judges an import of a package of the house, by a shipped file.
func checkOwn(f goFile, level int, to string) string {
	if !within(to, module) || f.test {
		return ""
	}
	own := strings.TrimPrefix(to, module+"/")
	if slices.Contains(testOnly, own) {
		return fmt.Sprintf("imports %s, which is for tests", to)
	}
	for _, b := range bans {
		if within(f.pkg, b.from) && within(own, b.to) && own != b.but {
			return fmt.Sprintf("imports %s: %s never imports %s", to, b.from, b.to)
		}
	}
	if at, placed := levels[own]; !placed || at >= level {
		return fmt.Sprintf("imports %s, which is not below it", to)
	}
	return ""
}

// checkLibrary judges an import from outside, in tests too.
func checkLibrary(f goFile, _ int, to string) string {
	first, _, _ := strings.Cut(to, "/")
	if !strings.Contains(first, ".") {
		return ""
	}
	for library, home := range homes {
		if !within(to, library) {
			continue
		}
		switch {
		case home == f.pkg, home == "" && f.test:
			return ""
		case home == "":
			home = "tests"
		}
		return fmt.Sprintf("imports %s, which belongs to %s", to, home)
	}
	return fmt.Sprintf("imports %s, which has no home in this house", to)
}

// checkStandard judges an import of the standard library by a shipped file.
func checkStandard(f goFile, level int, to string) string {
	if f.test {
		return ""
	}
	if to == "testing" && !slices.Contains(testOnly, f.pkg) {
		return "imports testing, which is for tests"
	}
	if who, listed := hostly[to]; listed && level < cliLevel && !slices.Contains(who, f.pkg) {
		return fmt.Sprintf("imports %s, which is for cli: it passes in what is needed of the host", to)
	}
	return ""
}

// checkCode judges what a shipped file does.
func checkCode(f goFile, level int) []string {
	var wrong []string
	say := func(n ast.Node, format string, args ...any) {
		wrong = append(wrong, fmt.Sprintf("%s: %s", f.fset.Position(n.Pos()), fmt.Sprintf(format, args...)))
	}
	imported := importNames(f.tree)
	ast.Inspect(f.tree, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.GoStmt:
			if f.pkg != goStatements {
				say(n, "starts a goroutine, which is for %s", goStatements)
			}
		case *ast.CallExpr:
			if id, ok := n.Fun.(*ast.Ident); ok && (id.Name == "print" || id.Name == "println") {
				say(n, "%s prints", id.Name)
			}
		case *ast.SelectorExpr:
			id, ok := n.X.(*ast.Ident)
			if !ok || level >= cliLevel || f.pkg == schoolGen {
				return true
			}
			name := imported[id.Name] + "." + n.Sel.Name
			if why := calls[name]; why != "" {
				say(n, "%s %s, which is for cli", name, why)
			}
		}
		return true
	})
	return wrong
}

// importNames gives the import path behind each name a file uses for a package of the standard library.
func importNames(tree *ast.File) map[string]string {
	names := map[string]string{}
	for _, imp := range tree.Imports {
		to := strings.Trim(imp.Path.Value, `"`)
		name := path.Base(to)
		if imp.Name != nil {
			name = imp.Name.Name
		}
		names[name] = to
	}
	return names
}
