package batch

import (
	"encoding"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"reflect"
)

// Results go between the programs of a crew field by field, to the last bit. What has
// fields of its own that nobody sees says itself what it is in bytes.
type ownBytes interface {
	encoding.BinaryAppender
	encoding.BinaryUnmarshaler
}

var errShort = errors.New("a result of a crew ends too early")

func pack(b []byte, v reflect.Value) ([]byte, error) {
	if own, ok := v.Addr().Interface().(ownBytes); ok {
		at := len(b)
		b, err := own.AppendBinary(append(b, 0))
		if err == nil {
			b[at] = byte(len(b) - at - 1)
		}
		return b, err
	}
	var err error
	switch v.Kind() {
	case reflect.Float64:
		return binary.LittleEndian.AppendUint64(b, math.Float64bits(v.Float())), nil
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return binary.AppendVarint(b, v.Int()), nil
	case reflect.Bool:
		if v.Bool() {
			return append(b, 1), nil
		}
		return append(b, 0), nil
	case reflect.Struct:
		for i := 0; i < v.NumField() && err == nil; i++ {
			if f := v.Type().Field(i); !f.IsExported() {
				return nil, fmt.Errorf("a crew cannot pass on %s of %s", f.Name, v.Type())
			}
			b, err = pack(b, v.Field(i))
		}
		return b, err
	case reflect.Slice:
		b = binary.AppendUvarint(b, uint64(v.Len()))
		for i := 0; i < v.Len() && err == nil; i++ {
			b, err = pack(b, v.Index(i))
		}
		return b, err
	}
	return nil, fmt.Errorf("a crew cannot pass on a %s", v.Type())
}

// unpack reads a value and returns what is behind it.
func unpack(b []byte, v reflect.Value) ([]byte, error) {
	if own, ok := v.Addr().Interface().(ownBytes); ok {
		if len(b) == 0 || len(b) < 1+int(b[0]) {
			return nil, errShort
		}
		end := 1 + int(b[0])
		return b[end:], own.UnmarshalBinary(b[1:end])
	}
	var err error
	switch v.Kind() {
	case reflect.Float64:
		if len(b) < 8 {
			return nil, errShort
		}
		v.SetFloat(math.Float64frombits(binary.LittleEndian.Uint64(b)))
		return b[8:], nil
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		n, size := binary.Varint(b)
		if size <= 0 {
			return nil, errShort
		}
		v.SetInt(n)
		return b[size:], nil
	case reflect.Bool:
		if len(b) == 0 {
			return nil, errShort
		}
		v.SetBool(b[0] == 1)
		return b[1:], nil
	case reflect.Struct:
		for i := 0; i < v.NumField() && err == nil; i++ {
			b, err = unpack(b, v.Field(i))
		}
		return b, err
	case reflect.Slice:
		n, size := binary.Uvarint(b)
		if size <= 0 || n > uint64(len(b)) {
			return nil, errShort
		}
		b = b[size:]
		v.Set(reflect.MakeSlice(v.Type(), int(n), int(n)))
		for i := 0; i < int(n) && err == nil; i++ {
			b, err = unpack(b, v.Index(i))
		}
		return b, err
	}
	return nil, fmt.Errorf("a crew cannot pass on a %s", v.Type())
}
