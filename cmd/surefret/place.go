package main

import (
	"errors"
	"path/filepath"
	"runtime"

	"surefret/cmd/surefret/cli"
)

// databasePath says where the player's practice is kept: --db, else
// SUREFRET_DB, else surefret/surefret.db in the platform's place for the data of
// programs.
func (p *program) databasePath() (string, error) {
	if p.database != "" {
		return p.database, nil
	}
	if path := p.getenv("SUREFRET_DB"); path != "" {
		return path, nil
	}
	base, err := p.dataHome()
	if err != nil {
		return "", err
	}
	return filepath.Join(base, "surefret", "surefret.db"), nil
}

// dataHome follows the XDG base directory specification, by which a relative
// XDG_DATA_HOME is ignored, and the platform's own custom elsewhere.
func (p *program) dataHome() (string, error) {
	if dir := p.getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return dir, nil
	}
	if runtime.GOOS == "windows" {
		if dir := p.getenv("LocalAppData"); dir != "" {
			return dir, nil
		}
		return "", cli.BadInput{Err: errors.New("no place for your practice: neither LocalAppData nor SUREFRET_DB is set; name a file with --db")}
	}
	home := p.getenv("HOME")
	if home == "" {
		return "", cli.BadInput{Err: errors.New("no place for your practice: HOME is not set; name a file with --db")}
	}
	if runtime.GOOS == "darwin" {
		return filepath.Join(home, "Library", "Application Support"), nil
	}
	return filepath.Join(home, ".local", "share"), nil
}
