package licence

import (
	"fmt"
	"os"
	"path"
	"path/filepath"
	"strings"

	"golang.org/x/image/font/sfnt"
)

// Text reads the part's licence from its module, which is unpacked in dir.
func (p Part) Text(dir string) (string, error) {
	var texts []string
	for _, name := range p.Files {
		raw, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
		if err != nil {
			return "", err
		}
		text := string(raw)
		if path.Ext(name) == ".ttf" {
			if text, err = fontLicence(raw); err != nil {
				return "", fmt.Errorf("%s: %w", name, err)
			}
		}
		texts = append(texts, strings.ToValidUTF8(text, "(c)"))
	}
	return strings.Join(texts, "\n\n"), nil
}

// fontLicence is what a font says of its copyright and its licence.
func fontLicence(raw []byte) (string, error) {
	font, err := sfnt.Parse(raw)
	if err != nil {
		return "", err
	}
	var names []string
	for _, id := range []sfnt.NameID{sfnt.NameIDCopyright, sfnt.NameIDLicense} {
		name, err := font.Name(nil, id)
		if err != nil {
			return "", err
		}
		names = append(names, name)
	}
	return strings.Join(names, "\n\n"), nil
}
