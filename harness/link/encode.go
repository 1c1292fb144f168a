package link

import (
	"encoding/json"
	"math"
	"reflect"
	"strconv"
	"strings"

	"ullage/harness"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// appendHello writes the greeting.
func appendHello(b []byte, spec sitefile.Controller, terminals []harness.Terminal) []byte {
	b = append(b, `{"do":"hello","version":`...)
	b = strconv.AppendInt(b, Version, 10)
	b = append(b, `,"terminals":[`...)
	for i, t := range terminals {
		if i > 0 {
			b = append(b, ',')
		}
		b = appendString(append(b, `{"name":`...), t.Name)
		b = appendString(append(b, `,"kind":`...), t.Kind.String())
		switch t.Kind {
		case harness.ContactTerminal, harness.PulseTerminal:
			normal := "open"
			if t.Normal {
				normal = "closed"
			}
			b = appendString(append(b, `,"normal":`...), normal)
		case harness.OutputTerminal:
			if t.Drive == sitefile.Latching || t.Drive == sitefile.Motorised {
				b = appendString(append(b, `,"drive":`...), string(t.Drive))
			}
		}
		b = append(b, '}')
	}
	spec.Terminals = nil
	b = append(b, `],"controller":`...)
	b = appendPlain(b, reflect.ValueOf(spec))
	return append(b, '}')
}

// appendRun writes what has changed and lets the program run until a moment.
func (c *controller) appendRun(b []byte, until signal.Time) []byte {
	b = append(b, `{"do":"run","from":`...)
	b = strconv.AppendInt(b, int64(c.now), 10)
	b = append(b, `,"to":`...)
	b = strconv.AppendInt(b, int64(until), 10)
	if c.booting {
		b = append(b, `,"boot":true`...)
	}
	next := `,"in":[`
	for i := range c.inputs {
		in := &c.inputs[i]
		if !in.news || in.kind == harness.OutputTerminal {
			continue
		}
		in.news = false
		b = append(b, next...)
		next = ","
		b = c.appendInput(b, i)
	}
	if next == "," {
		b = append(b, ']')
	}
	next = `,"got":[`
	for _, f := range c.got {
		b = append(b, next...)
		next = ","
		b = appendFrame(b, f)
	}
	if next == "," {
		b = append(b, ']')
	}
	return append(b, '}')
}

// appendInput writes what is at a terminal now.
func (c *controller) appendInput(b []byte, terminal int) []byte {
	in := &c.inputs[terminal]
	b = appendString(append(b, `{"terminal":`...), c.terminals[terminal].Name)
	switch {
	case in.kind == harness.AnalogueTerminal:
		b = strconv.AppendInt(append(b, `,"counts":`...), int64(in.counts), 10)
	case in.kind == harness.PowerTerminal:
	case in.high:
		b = append(b, `,"level":"high"`...)
	default:
		b = append(b, `,"level":"low"`...)
	}
	if !(in.pin.Ohms < disconnected) {
		b = append(b, `,"volts":0,"slope":0,"ohms":null`...)
	} else {
		b = appendNumber(append(b, `,"volts":`...), in.pin.VoltsAt(c.now))
		b = appendNumber(append(b, `,"slope":`...), in.pin.Slope)
		b = appendNumber(append(b, `,"ohms":`...), in.pin.Ohms)
	}
	if in.hum.Hum != 0 {
		b = appendNumber(append(b, `,"hum_v":`...), math.Abs(in.hum.Hum)*in.stage.Parallel(in.pin))
		b = appendNumber(append(b, `,"hum_hz":`...), in.hum.HumHertz)
	}
	return append(b, '}')
}

// appendFrame writes a frame from the network.
func appendFrame(b []byte, f harness.Frame) []byte {
	b = appendString(append(b, `{"kind":`...), f.Kind.String())
	switch f.Kind {
	case harness.Acknowledged:
		b = strconv.AppendUint(append(b, `,"number":`...), f.Number, 10)
	case harness.Command:
		b = appendString(append(b, `,"topic":`...), f.Topic)
		b = appendString(append(b, `,"text":`...), f.Text)
		b = appendNumber(append(b, `,"value":`...), f.Value)
	}
	return append(b, '}')
}

// appendNumber writes a number as short as it can be read back; what JSON cannot hold becomes null.
func appendNumber(b []byte, v float64) []byte {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return append(b, "null"...)
	}
	if size := math.Abs(v); size != 0 && (size < 1e-6 || size >= 1e15) {
		return strconv.AppendFloat(b, v, 'e', -1, 64)
	}
	return strconv.AppendFloat(b, v, 'f', -1, 64)
}

// appendString writes a string: as it is when nothing in it needs an escape, as encoding/json does otherwise.
func appendString(b []byte, s string) []byte {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' || s[i] == '"' || s[i] == '\\' {
			escaped, _ := json.Marshal(s) // of a string, never an error
			return append(b, escaped...)
		}
	}
	return append(append(append(b, '"'), s...), '"')
}

// suffixes are the units at the end of the keys; a bare number has none.
var suffixes = map[quantity.Dimension]string{
	quantity.Duration:    "_s",
	quantity.Voltage:     "_v",
	quantity.Resistance:  "_ohm",
	quantity.Capacitance: "_f",
	quantity.Fraction:    "_fraction",
}

// written is a quantity of the site file.
type written interface {
	IsSet() bool
	Dimension() quantity.Dimension
}

// appendPlain writes a part of the site file: the keys as they are there with _ for -, quantities as numbers in SI with
// the unit at the end of the key. What is left out there is left out here.
func appendPlain(b []byte, v reflect.Value) []byte {
	switch v.Kind() {
	case reflect.Pointer:
		return appendPlain(b, v.Elem())
	case reflect.String:
		return appendString(b, v.String())
	case reflect.Int:
		return strconv.AppendInt(b, v.Int(), 10)
	case reflect.Float64:
		return appendNumber(b, v.Float())
	case reflect.Slice:
		b = append(b, '[')
		for i := range v.Len() {
			if i > 0 {
				b = append(b, ',')
			}
			b = appendPlain(b, v.Index(i))
		}
		return append(b, ']')
	}
	if q, ok := v.Interface().(written); ok && q.IsSet() {
		return appendNumber(b, v.FieldByName("SI").Float())
	}
	b = append(b, '{')
	for i, next := 0, ""; i < v.NumField(); i++ {
		key, ok := plainKey(v, i)
		if !ok {
			continue
		}
		b = appendString(append(b, next...), key)
		b = appendPlain(append(b, ':'), v.Field(i))
		next = ","
	}
	return append(b, '}')
}

// plainKey is the key of a field; ok is false when the site file leaves it out.
func plainKey(v reflect.Value, field int) (key string, ok bool) {
	tag, options, _ := strings.Cut(v.Type().Field(field).Tag.Get("yaml"), ",")
	key = strings.ReplaceAll(tag, "-", "_")
	f := v.Field(field)
	if q, is := f.Interface().(written); is {
		return key + suffixes[q.Dimension()], q.IsSet()
	}
	empty := f.IsZero() || f.Kind() == reflect.Slice && f.Len() == 0
	return key, !empty || f.Kind() != reflect.Pointer && f.Kind() != reflect.Slice && options != "omitempty"
}
