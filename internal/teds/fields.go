package teds

// field is one field of the bit stream, least significant bit first.
type field struct {
	name string
	bits int
}

// The fields of basic data and template 33 in their order (IEEE 1451.4-2004, clause 6 and
// annex A; widths by a published image but where said).
const (
	maker = iota
	modelNumber
	versionLetter
	versionNumber
	serialNumber
	selector // of a template: 0 an IEEE template follows
	template
	unitCode
	physicalMin
	physicalMax
	precision
	electricalMin
	electricalMax
	bridgeType
	impedance
	response
	excitationNominal
	excitationMin
	excitationMax
	date
	initials // this and the next two: their sum is known, their parts from memory
	period
	measurement
	endSelector // 3: end
	extendedEnd // 1
	fieldCount
)

var fields = [fieldCount]field{
	{"manufacturer", 14}, {"model number", 15}, {"version letter", 5}, {"version number", 6}, {"serial number", 24},
	{"selector", 2}, {"template", 8},
	{"unit", 6}, {"least physical value", 32}, {"greatest physical value", 32},
	{"precision of the limits", 2}, {"least electrical value", 32}, {"greatest electrical value", 32},
	{"type of bridge", 2}, {"impedance", 18}, {"response time", 6},
	{"nominal excitation", 9}, {"least excitation", 9}, {"greatest excitation", 9},
	{"date of calibration", 16}, {"initials", 15}, {"calibration period", 12}, {"measurement location", 11},
	{"end selector", 2}, {"extended end", 1},
}

// values are the raw contents of the fields.
type values [fieldCount]uint32

const (
	pageSize   = 32
	templateID = 33
	full       = 2 // code of the precision: single floats
	end        = 3
	dataBytes  = 40 // of 320 bits
	pages      = 2
)

// pack writes the fields without gaps, least significant bit first.
func (v *values) pack() [dataBytes]byte {
	var b [dataBytes]byte
	at := 0
	for i, f := range fields {
		for k := range f.bits {
			b[at/8] |= byte(v[i]>>k&1) << (at % 8)
			at++
		}
	}
	return b
}

func unpack(b *[dataBytes]byte) values {
	var v values
	at := 0
	for i, f := range fields {
		for k := range f.bits {
			v[i] |= uint32(b[at/8]>>(at%8)&1) << k
			at++
		}
	}
	return v
}

// image puts the data into pages of 32 bytes. The first byte of a page makes its sum 0
// modulo 256, the other 31 carry the data on from page to page.
func image(data [dataBytes]byte) []byte {
	out := make([]byte, pages*pageSize)
	for p := range pages {
		page := out[p*pageSize:][:pageSize]
		if from := p * (pageSize - 1); from < dataBytes {
			copy(page[1:], data[from:])
		}
		page[0] = -sum(page[1:])
	}
	return out
}

func sum(b []byte) byte {
	var s byte
	for _, x := range b {
		s += x
	}
	return s
}

// CRC8 is the check byte of the serial number of a one-wire memory: x⁸ + x⁵ + x⁴ + 1, bits
// reflected, from 0. The last of its eight bytes is the CRC8 of the seven before.
func CRC8(b []byte) byte {
	var c byte
	for _, x := range b {
		c ^= x
		for range 8 {
			if c&1 != 0 {
				c = c>>1 ^ 0x8c
			} else {
				c >>= 1
			}
		}
	}
	return c
}
