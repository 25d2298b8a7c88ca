//go:build !silent && cgo && !linux

package microphone

func quiet() {}
