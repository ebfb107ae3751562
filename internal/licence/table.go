package licence

// ours is the program itself.
var ours = Part{Holds: "this program", SPDX: "MIT", Copyright: []string{"Copyright (c) 2026 The kneepoint authors"}}

const (
	mit    = "MIT"
	bsd3   = "BSD-3-Clause"
	bsd2   = "BSD-2-Clause"
	apache = "Apache-2.0"

	goAuthors = "Copyright 2009 The Go Authors."
)

// standardLibrary names Go's library and runtime, which no list of modules has.
const standardLibrary = "std"

// table has every part by others that a build for any system links. The copyright lines
// are those of the files named, word for word; a test holds both to the modules.
var table = []Part{
	{Module: standardLibrary, Holds: "Go's library and runtime", SPDX: bsd3, Copyright: []string{goAuthors}, Files: []string{"LICENSE"}},
	{Module: "codeberg.org/go-fonts/liberation", SPDX: bsd3,
		Copyright: []string{"Copyright ©2020 The go-fonts Authors. All rights reserved."}, Files: []string{"LICENSE"}},
	{Module: "codeberg.org/go-fonts/liberation", Holds: "twelve Liberation fonts", SPDX: "OFL-1.1",
		Copyright: []string{
			"Digitized data copyright (c) 2010 Google Corporation", "with Reserved Font Arimo, Tinos and Cousine.",
			"Copyright (c) 2012 Red Hat, Inc.", "with Reserved Font Name Liberation.",
		}, Files: []string{"LICENSE-SIL"}},
	{Module: "codeberg.org/go-latex/latex", SPDX: bsd3,
		Copyright: []string{"Copyright ©2020 The go-latex Authors. All rights reserved."}, Files: []string{"LICENSE"}},
	{Module: "codeberg.org/go-pdf/fpdf", SPDX: mit,
		Copyright: []string{
			"Copyright (c) 2021 The Go-PDF authors", "Copyright (c) 2020 David Barnes",
			"Copyright (c) 2017 Kurt Jung and contributors acknowledged in the documentation",
		}, Files: []string{"LICENSE"}},
	{Module: "git.sr.ht/~sbinet/gg", SPDX: mit,
		Copyright: []string{"Copyright (C) 2022 The gg Authors", "Copyright (C) 2016 Michael Fogleman"}, Files: []string{"LICENSE.md"}},
	{Module: "github.com/ajstarks/svgo", SPDX: "CC-BY-4.0",
		Copyright: []string{"svgo by Anthony Starks, unchanged, https://github.com/ajstarks/svgo"}, Files: []string{"LICENSE", "LICENSE-link.txt"}},
	{Module: "github.com/dlclark/regexp2", SPDX: mit, Copyright: []string{"Copyright (c) Doug Clark"}, Files: []string{"LICENSE"}},
	{Module: "github.com/go-sourcemap/sourcemap", SPDX: bsd2,
		Copyright: []string{"Copyright (c) 2016 The github.com/go-sourcemap/sourcemap Contributors."}, Files: []string{"LICENSE"}},
	// The credit is in the words that the licence asks for.
	{Module: "github.com/golang/freetype", SPDX: "FTL",
		Copyright: []string{"Portions of this software are copyright © 2010 The FreeType Project (www.freetype.org). All rights reserved."},
		Files:     []string{"LICENSE", "licenses/ftl.txt"}},
	{Module: "github.com/google/pprof", SPDX: apache, Copyright: []string{"Copyright 2014 Google Inc. All Rights Reserved."}, Files: []string{"LICENSE"}},
	{Module: "github.com/grafana/sobek", SPDX: mit,
		Copyright: []string{"Copyright (c) 2016 Dmitry Panov", "Copyright (c) 2012 Robert Krimen"}, Files: []string{"LICENSE"}},
	{Module: "github.com/grafana/sobek", Holds: "decimal conversion", SPDX: "LicenseRef-Lucent",
		Copyright: []string{"Copyright (C) 1998, 1999 by Lucent Technologies"}, Files: []string{"ftoa/LICENSE_LUCENE"}},
	{Module: "github.com/grafana/sobek", Holds: "fast decimal conversion", SPDX: bsd3,
		Copyright: []string{"Copyright 2014, the V8 project authors. All rights reserved."}, Files: []string{"ftoa/internal/fast/LICENSE_V8"}},
	{Module: "github.com/inconshreveable/mousetrap", SPDX: apache,
		Copyright: []string{"Copyright 2022 Alan Shreve (@inconshreveable)"}, Files: []string{"LICENSE"}},
	{Module: "github.com/pelletier/go-toml/v2", SPDX: mit, Copyright: []string{"Copyright (c) 2021 - 2023 Thomas Pelletier"}, Files: []string{"LICENSE"}},
	{Module: "github.com/spf13/cobra", SPDX: apache, Copyright: []string{"Copyright 2013-2023 The Cobra Authors"}, Files: []string{"LICENSE.txt"}},
	{Module: "github.com/spf13/pflag", SPDX: bsd3,
		Copyright: []string{"Copyright (c) 2012 Alex Ogier. All rights reserved.", "Copyright (c) 2012 The Go Authors. All rights reserved."},
		Files:     []string{"LICENSE"}},
	{Module: "golang.org/x/image", SPDX: bsd3, Copyright: []string{goAuthors}, Files: []string{"LICENSE", "PATENTS"}},
	// Its licence stands in the font itself; a release copies it from there.
	{Module: "golang.org/x/image", Holds: "four Go fonts", SPDX: bsd3,
		Copyright: []string{"Copyright (c) 2016 by Bigelow & Holmes Inc.. All rights reserved."}, Files: []string{goFont}},
	{Module: "golang.org/x/sys", SPDX: bsd3, Copyright: []string{goAuthors}, Files: []string{"LICENSE", "PATENTS"}},
	{Module: "golang.org/x/term", SPDX: bsd3, Copyright: []string{goAuthors}, Files: []string{"LICENSE", "PATENTS"}},
	{Module: "golang.org/x/text", SPDX: bsd3, Copyright: []string{goAuthors}, Files: []string{"LICENSE", "PATENTS"}},
	{Module: "golang.org/x/tools", SPDX: bsd3, Copyright: []string{goAuthors}, Files: []string{"LICENSE", "PATENTS"}},
	{Module: "gonum.org/v1/gonum", SPDX: bsd3, Copyright: []string{"Copyright ©2013 The Gonum Authors. All rights reserved."}, Files: []string{"LICENSE"}},
	{Module: "gonum.org/v1/gonum", Holds: "functions from Cephes", SPDX: bsd3,
		Copyright: []string{"Copyright (c) 1984, 1987, 1989, 1992, 2000 Stephen L. Moshier"}, Files: []string{"THIRD_PARTY_LICENSES/Cephes-LICENSE"}},
	{Module: "gonum.org/v1/gonum", Holds: "coefficients from Boost", SPDX: "BSL-1.0",
		Copyright: []string{"Copyright ©2006 John Maddock", "Portions Copyright ©2003 Boost"}, Files: []string{"THIRD_PARTY_LICENSES/Boost-LICENSE"}},
	{Module: "gonum.org/v1/gonum", Holds: "functions by Sun Microsystems", SPDX: "SunPro",
		Copyright: []string{"Copyright (C) 1993 by Sun Microsystems, Inc. All rights reserved."}, Files: []string{"THIRD_PARTY_LICENSES/Sun-LICENSE"}},
	{Module: "gonum.org/v1/gonum", Holds: "functions from Go's library", SPDX: bsd3,
		Copyright: []string{"Copyright (c) 2009 The Go Authors. All rights reserved."}, Files: []string{"THIRD_PARTY_LICENSES/Go-LICENSE"}},
	{Module: "gonum.org/v1/plot", SPDX: bsd3, Copyright: []string{"Copyright ©2013 The Gonum Authors. All rights reserved."}, Files: []string{"LICENSE"}},
}

// goFont is a font of which the licence is a name in its own table of names.
const goFont = "font/gofont/ttfs/Go-Regular.ttf"
