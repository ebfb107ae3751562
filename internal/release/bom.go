package main

import (
	"encoding/json"
	"runtime/debug"
	"strings"
	"time"

	"kneepoint/internal/licence"
)

// A bill of materials in the form of CycloneDX 1.5, as far as it is used here.
type bill struct {
	Format     string      `json:"bomFormat"`
	Spec       string      `json:"specVersion"`
	Version    int         `json:"version"`
	Metadata   metadata    `json:"metadata"`
	Components []component `json:"components"`
}

type metadata struct {
	Timestamp string    `json:"timestamp"`
	Component component `json:"component"`
}

type component struct {
	Type       string     `json:"type"`
	Ref        string     `json:"bom-ref"`
	Name       string     `json:"name"`
	Version    string     `json:"version,omitempty"`
	Package    string     `json:"purl,omitempty"`
	Licences   []licensed `json:"licenses,omitempty"`
	Copyright  string     `json:"copyright,omitempty"`
	Properties []property `json:"properties,omitempty"`
}

type licensed struct {
	Licence identifier `json:"license"`
}

// identifier is one of the SPDX list, or a name of what the list has not.
type identifier struct {
	ID   string `json:"id,omitempty"`
	Name string `json:"name,omitempty"`
}

type property struct {
	Name  string `json:"name"`
	Value string `json:"value"`
}

// billOfMaterials lists what a build has linked, from what the compiler noted in it.
func billOfMaterials(build *debug.BuildInfo, t target, made time.Time) ([]byte, error) {
	parts, err := licence.Inside(build)
	if err != nil {
		return nil, err
	}
	sums := map[string]string{}
	for _, module := range build.Deps {
		sums[module.Path] = module.Sum
	}
	var components []component
	for _, p := range parts {
		last := len(components) - 1
		if last < 0 || components[last].Name != p.Module {
			components = append(components, newComponent(p, sums[p.Module]))
			last++
		}
		c := &components[last]
		c.Licences = append(c.Licences, licensed{identify(p.SPDX)})
		c.Copyright = strings.TrimPrefix(c.Copyright+"\n"+strings.Join(p.Copyright, "\n"), "\n")
	}
	self := components[0]
	self.Type = "application"
	self.Properties = []property{{"kneepoint:system", t.system + "/" + t.machine}, {"kneepoint:compiler", build.GoVersion}}
	b := bill{
		Format: "CycloneDX", Spec: "1.5", Version: 1,
		Metadata:   metadata{made.Format(time.RFC3339), self},
		Components: components[1:],
	}
	text, err := json.MarshalIndent(b, "", "  ")
	return append(text, '\n'), err
}

func newComponent(p licence.Part, sum string) component {
	address := "pkg:golang/" + p.Module + "@" + strings.ReplaceAll(p.Version, "+", "%2B")
	c := component{Type: "library", Ref: address, Name: p.Module, Version: p.Version, Package: address}
	if sum != "" {
		c.Properties = []property{{"kneepoint:go-sum", sum}}
	}
	return c
}

func identify(id string) identifier {
	if strings.HasPrefix(id, "LicenseRef-") {
		return identifier{Name: id}
	}
	return identifier{ID: id}
}
