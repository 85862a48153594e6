package drawing

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io"
	"math"
)

const (
	maxPixels     = 200e6 // of one picture; more is a slip in the resolution
	pixelFlatness = 0.05  // pixels that a polygon may be off the curve it stands for
)

// WritePNG writes the scene as a picture on white paper, dpi pixels an inch,
// which the file states. Its size is that of the scene rounded up to whole
// pixels. Shapes are smoothed by the share of each pixel that they cover.
//
// A resolution that is not positive, or that makes more than 200 million
// pixels, is an error. The title, links and bookmarks are not in the picture.
func (s *Scene) WritePNG(w io.Writer, dpi float64) error {
	if s.err != nil {
		return s.err
	}
	if !(dpi > 0) || !finite(dpi) {
		return fmt.Errorf("drawing: picture of %v pixels an inch", dpi)
	}
	perMM := dpi / inch
	const hair = 1e-6 // of a pixel: what rounding leaves makes no row of its own
	width, height := math.Ceil(s.Width*perMM-hair), math.Ceil(s.Height*perMM-hair)
	if !(width*height <= maxPixels) {
		return fmt.Errorf("drawing: picture of %.0f × %.0f pixels; write a lower resolution", width, height)
	}
	p := &picturePage{perMM: perMM, to: image.NewRGBA(image.Rect(0, 0, max(int(width), 1), max(int(height), 1)))}
	draw.Draw(p.to, p.to.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
	for _, it := range s.items {
		it.draw(p)
	}
	var b bytes.Buffer
	if err := png.Encode(&b, p.to); err != nil {
		return err
	}
	_, err := w.Write(withResolution(b.Bytes(), dpi))
	return err
}

// withResolution puts a pHYs chunk behind the head of a PNG file: pixels a
// metre in both directions (PNG specification, 3rd ed., 11.3.4.3; from memory).
func withResolution(file []byte, dpi float64) []byte {
	const head = 8 + 4 + 4 + 13 + 4 // signature, and length, type, data and CRC of IHDR
	perMetre := uint32(min(math.Round(dpi/inch*1000), math.MaxInt32))
	chunk := []byte("pHYs")
	chunk = binary.BigEndian.AppendUint32(chunk, perMetre)
	chunk = binary.BigEndian.AppendUint32(chunk, perMetre)
	chunk = append(chunk, 1) // the unit is the metre
	out := append([]byte(nil), file[:head]...)
	out = binary.BigEndian.AppendUint32(out, uint32(len(chunk)-4))
	out = append(out, chunk...)
	out = binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(chunk))
	return append(out, file[head:]...)
}
