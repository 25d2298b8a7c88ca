package cli

import (
	"path/filepath"
	"runtime"
)

// Place says where a player's practice is kept, by the environment: SUREFRET_DB, else
// surefret/surefret.db in the platform's place for the data of programs.
func Place(getenv func(string) string) (string, error) {
	if path := getenv("SUREFRET_DB"); path != "" {
		return path, nil
	}
	base, err := dataHome(getenv)
	if err != nil {
		return "", err
	}
	return filepath.Join(base, "surefret", "surefret.db"), nil
}

// dataHome follows the XDG base directory specification, by which a relative
// XDG_DATA_HOME is ignored, and the platform's own custom elsewhere.
func dataHome(getenv func(string) string) (string, error) {
	if dir := getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return dir, nil
	}
	if runtime.GOOS == "windows" {
		if dir := getenv("LocalAppData"); dir != "" {
			return dir, nil
		}
		return "", Usagef("no place for your practice: neither LocalAppData nor SUREFRET_DB is set; name a file with --db")
	}
	home := getenv("HOME")
	if home == "" {
		return "", Usagef("no place for your practice: HOME is not set; name a file with --db")
	}
	if runtime.GOOS == "darwin" {
		return filepath.Join(home, "Library", "Application Support"), nil
	}
	return filepath.Join(home, ".local", "share"), nil
}
