package weedability_test

import (
	"encoding/binary"
	"errors"
	"math"
	"strconv"
)

// cffPrivate returns the numbers of a bare CFF font's Private DICT by operator, from
// an OpenType file (OpenType 1.9, "otff"; Adobe Technical Note 5176, The Compact
// Font Format Specification, 2003: StdHW is operator 10, StdVW 11).
func cffPrivate(otf []byte) (dict map[int][]float64, err error) {
	defer func() {
		if recover() != nil {
			err = errors.New("not a CFF font")
		}
	}()
	u16, u32 := binary.BigEndian.Uint16, binary.BigEndian.Uint32
	var cff []byte
	for i := range int(u16(otf[4:])) {
		if rec := otf[12+16*i:]; string(rec[:4]) == "CFF " {
			cff = otf[u32(rec[8:]):][:u32(rec[12:])]
		}
	}
	// An INDEX: count, size of an offset, count+1 offsets, data.
	index := func(at int) (items [][]byte, end int) {
		n := int(u16(cff[at:]))
		if n == 0 {
			return nil, at + 2
		}
		size := int(cff[at+2])
		offset := func(i int) int {
			v := 0
			for _, b := range cff[at+3+i*size:][:size] {
				v = v<<8 | int(b)
			}
			return at + 2 + (n+1)*size + v
		}
		for i := range n {
			items = append(items, cff[offset(i):offset(i+1)])
		}
		return items, offset(n)
	}
	_, at := index(int(cff[2])) // names
	top, _ := index(at)
	private := cffDict(top[0])[18] // size, offset
	return cffDict(cff[int(private[1]):][:int(private[0])]), nil
}

func cffDict(data []byte) map[int][]float64 {
	dict := map[int][]float64{}
	var operands []float64
	for i := 0; i < len(data); i++ {
		b := int(data[i])
		switch {
		case b == 12:
			i++
			dict[1200+int(data[i])] = operands
			operands = nil
		case b <= 21:
			dict[b] = operands
			operands = nil
		case b == 28:
			operands = append(operands, float64(int16(binary.BigEndian.Uint16(data[i+1:]))))
			i += 2
		case b == 29:
			operands = append(operands, float64(int32(binary.BigEndian.Uint32(data[i+1:]))))
			i += 4
		case b == 30:
			text := ""
		number:
			for i++; ; i++ {
				for _, nibble := range [2]byte{data[i] >> 4, data[i] & 15} {
					switch {
					case nibble < 10:
						text += strconv.Itoa(int(nibble))
					case nibble == 15:
						break number
					default:
						text += map[byte]string{10: ".", 11: "E", 12: "E-", 14: "-"}[nibble]
					}
				}
			}
			v, err := strconv.ParseFloat(text, 64)
			if err != nil {
				v = math.NaN()
			}
			operands = append(operands, v)
		case b >= 32 && b <= 246:
			operands = append(operands, float64(b-139))
		case b >= 247 && b <= 250:
			operands = append(operands, float64((b-247)*256+int(data[i+1])+108))
			i++
		case b >= 251 && b <= 254:
			operands = append(operands, float64(-(b-251)*256-int(data[i+1])-108))
			i++
		}
	}
	return dict
}
