//go:build !silent && cgo

package microphone

import (
	"fmt"
	"unsafe"

	"github.com/gen2brain/malgo"

	"surefret/synth/quiet"
)

// Machine is the sound system of this machine, by way of miniaudio.
func Machine() System { return machine{} }

type machine struct{}

// backends are the systems tried, in this order; its null one would hear silence.
var backends = []malgo.Backend{malgo.BackendWasapi, malgo.BackendCoreaudio, malgo.BackendPulseaudio, malgo.BackendAlsa, malgo.BackendJack}

func begin() (*malgo.AllocatedContext, error) {
	quiet.Hush()
	ctx, err := malgo.InitContext(backends, malgo.ContextConfig{}, nil)
	if err != nil {
		return nil, ErrNone
	}
	return ctx, nil
}

func end(ctx *malgo.AllocatedContext) {
	ctx.Uninit()
	ctx.Free()
}

// Inputs implements System.
func (machine) Inputs() ([]Input, error) {
	ctx, err := begin()
	if err != nil {
		return nil, err
	}
	defer end(ctx)
	infos, err := ctx.Devices(malgo.Capture)
	if err != nil {
		return nil, fmt.Errorf("list the inputs: %w", err)
	}
	var inputs []Input
	for _, info := range infos {
		inputs = append(inputs, Input{info.Name(), info.IsDefault != 0})
	}
	return inputs, nil
}

// Open implements System.
func (machine) Open(name string, heard func([]float32)) (Device, error) {
	ctx, err := begin()
	if err != nil {
		return nil, err
	}
	c := malgo.DefaultDeviceConfig(malgo.Capture)
	c.Capture.Format, c.Capture.Channels, c.SampleRate = malgo.FormatF32, 1, rate
	c.PeriodSizeInMilliseconds = 10
	if name != "" {
		infos, err := ctx.Devices(malgo.Capture)
		if err != nil {
			end(ctx)
			return nil, fmt.Errorf("list the inputs: %w", err)
		}
		for i := range infos {
			if infos[i].Name() == name {
				c.Capture.DeviceID = infos[i].ID.Pointer()
			}
		}
	}
	device, err := malgo.InitDevice(ctx.Context, c, malgo.DeviceCallbacks{Data: func(_, in []byte, frames uint32) {
		if frames > 0 && len(in) >= int(4*frames) {
			heard(unsafe.Slice((*float32)(unsafe.Pointer(&in[0])), frames))
		}
	}})
	if err == nil {
		if err = device.Start(); err != nil {
			device.Uninit()
		}
	}
	if err != nil {
		end(ctx)
		return nil, fmt.Errorf("%w: %w", ErrNone, err)
	}
	return input{ctx, device}, nil
}

type input struct {
	ctx    *malgo.AllocatedContext
	device *malgo.Device
}

// Close implements Device. It never returns once the sound server has died.
func (i input) Close() {
	i.device.Uninit()
	end(i.ctx)
}
