//go:build !linux

package store

func renameNew(tmp, path string) error { return renameUnlessThere(tmp, path) }
