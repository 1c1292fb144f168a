package evidence

import (
	"bytes"
	"fmt"
	"html"
	"math"
	"strconv"
	"unicode/utf8"

	"ullage/harness/console"
	"ullage/harness/signal"
)

// The measures of a timing picture, in the pixels of its view box.
const (
	mostActions  = 8 // that are named
	wide         = 1000.0
	left         = 170.0 // of the plot
	right        = 824.0
	actionHeight = 22.0
	visible      = 40.0 // a dimension line in time that is shorter gets a picture of its own
)

// picture draws one scene as SVG. Its colours and fonts come from the style sheet of the report.
type picture struct {
	*scene
	y    float64 // what is above it has been drawn
	body bytes.Buffer
}

// drawPictures draws the timing picture of a scenario, and the stretch around the moment of its smallest margin where
// the whole does not show it. It is empty when nothing was recorded.
func drawPictures(r *Record, trace *signal.Trace) []byte {
	s := newScene(r, trace)
	if s == nil {
		return nil
	}
	name := "Timing picture of " + r.Name
	out := draw(s, name)
	perPixel := float64(s.to-s.from) / (right - left)
	if near := s.closeUp(r, signal.Time(visible*perPixel)); near != nil {
		out = append(out, "<p class=\"small\">Around the smallest margin, enlarged:</p>\n"...)
		out = append(out, draw(near, name+", around the smallest margin")...)
	}
	return out
}

func draw(s *scene, name string) []byte {
	p := &picture{scene: s, y: 6}
	p.drawActions()
	shadesFrom := p.y
	for i := range p.panels {
		p.y += 30
		p.drawPanel(p.panels[i])
	}
	if len(p.lanes) > 0 {
		p.y += 14
	}
	for _, id := range p.lanes {
		p.drawLane(id)
	}
	shadesTo := p.y + 4
	p.y = shadesTo
	behind := p.drawTime(shadesFrom, shadesTo)
	if p.mark != nil {
		name += ": " + p.mark.label + " at " + clock(p.mark.at)
	}
	var out bytes.Buffer
	fmt.Fprintf(
		&out,
		"<div class=\"scroll\"><svg class=\"picture\" viewBox=\"0 0 %s %s\" role=\"img\" aria-label=\"%s\">\n",
		number(wide),
		number(p.y),
		html.EscapeString(console.Clean(name)),
	)
	out.Write(behind)
	out.Write(p.body.Bytes())
	out.WriteString("</svg></div>\n")
	return out.Bytes()
}

// x is where a moment stands.
func (p *picture) x(t signal.Time) float64 {
	return left + float64((right-left)*(float64(t-p.from)/float64(p.to-p.from)))
}

func (p *picture) clamp(t signal.Time) signal.Time { return min(max(t, p.from), p.to) }

// drawActions names the actions at the top, a line each, with a bar over each of their windows.
func (p *picture) drawActions() {
	for i, a := range p.actions {
		bottom := p.y + 16
		if i == mostActions {
			p.text(left, bottom-6, "fn", "", fmt.Sprintf("and %d more", len(p.actions)-i))
			p.y += actionHeight
			return
		}
		first := p.x(p.clamp(a.at))
		for _, s := range a.spans {
			if s.until >= p.from && s.from <= p.to {
				from, until := p.x(p.clamp(s.from)), p.x(p.clamp(s.until))
				first = min(first, from)
				p.raw(`<path class="f" d="` + string(appendBar(nil, from, bottom+2, max(2, until-from), 4)) + `"/>`)
			}
		}
		if len(a.spans) == 0 && a.at >= p.from {
			p.raw(`<path class="f" d="` + string(appendBar(nil, first-1, bottom+2, 2, 6)) + `"/>`)
		}
		name := console.Cut(a.name, 96)
		if first+textWidth(name) > wide {
			p.text(min(right, max(first, left+textWidth(name))), bottom-6, "fn", "end", name)
		} else {
			p.text(first, bottom-6, "fn", "", name)
		}
		p.y += actionHeight
	}
}

// drawTime draws the axis of time below, and what goes behind everything: shades of the windows, moments of the
// actions.
func (p *picture) drawTime(top, bottom float64) []byte {
	body := p.body
	p.body = bytes.Buffer{}
	for _, a := range p.actions {
		for _, s := range a.spans {
			if s.until >= p.from && s.from <= p.to {
				from, until := p.x(p.clamp(s.from)), p.x(p.clamp(s.until))
				p.raw(
					`<path class="s" d="` + string(
						appendBar(nil, from, bottom, max(1, until-from), bottom-top),
					) + `"/>`,
				)
			}
		}
		if a.at >= p.from {
			p.line("w", p.x(a.at), top, p.x(a.at), bottom)
		}
	}
	if p.begins > p.from {
		p.raw(
			`<path class="u" d="` + string(
				appendBar(nil, left, bottom, p.x(p.clamp(p.begins))-left, bottom-top),
			) + `"/>`,
		)
	}
	for _, t := range timeTicks(p.from, p.to, 9) {
		p.line("g", p.x(t), top, p.x(t), bottom+5)
		p.text(p.x(t), bottom+18, "n", "middle", t.String())
	}
	p.line("axis", left, bottom, right, bottom)
	p.y = bottom + 26
	behind := p.body.Bytes()
	p.body = body
	return behind
}

// label names a signal beside its curve or lane.
func (p *picture) label(id signal.ID) string {
	s := p.trace.Signals()[id]
	name := s.Device + " " + s.Quantity
	if alert, ok := s.CutAlert(); ok {
		name = map[string]string{string(signal.Controller): "sent: ", string(signal.Cloud): "arrived: "}[s.Device] + alert
	}
	return console.Cut(console.Clean(name), 26)
}

func (p *picture) raw(element string) {
	p.body.WriteString(element)
	p.body.WriteByte('\n')
}

func (p *picture) line(class string, x1, y1, x2, y2 float64) {
	p.raw(
		`<path class="` + class + `" d="M` + number(
			x1,
		) + ` ` + number(
			y1,
		) + `L` + number(
			x2,
		) + ` ` + number(
			y2,
		) + `"/>`,
	)
}

func (p *picture) text(x, y float64, class, anchor, text string) {
	if anchor != "" {
		anchor = ` text-anchor="` + anchor + `"`
	}
	p.raw(
		`<text class="` + class + `" x="` + number(
			x,
		) + `" y="` + number(
			y,
		) + `"` + anchor + `>` + html.EscapeString(
			text,
		) + `</text>`,
	)
}

// textWidth is about how wide a text in the picture is.
func textWidth(s string) float64 { return 6.1 * float64(utf8.RuneCountInString(s)) }

func digit(i int) string { return strconv.Itoa(i) }

// tenths is a coordinate in tenths of a pixel.
func tenths(x float64) int { return int(math.Floor(float64(x*10) + 0.5)) }

func number(x float64) string { return string(appendTenths(nil, tenths(x))) }

// appendTenths writes a number of tenths as a decimal.
func appendTenths(b []byte, n int) []byte {
	if n < 0 {
		b, n = append(b, '-'), -n
	}
	if n >= 10 || n == 0 {
		b = strconv.AppendInt(b, int64(n/10), 10)
	}
	if n%10 != 0 {
		b = append(b, '.', byte('0'+n%10))
	}
	return b
}
