package sitefile

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"ullage/harness/spelling"
)

// reserved are the devices that every stand has besides those of the site.
var reserved = []string{"controller", "wifi", "cloud", "script", "power"}

// plainName is what a name may look like. The dot parts a device from its quantity in "header-tank.level", and the
// stroke parts the keys of a path.
var plainName = regexp.MustCompile(`^[\p{L}\p{N}][\p{L}\p{N} _-]*$`)

// names demands that every part has a name of its own, and finds what feeds each part.
func (c *checker) names() {
	c.parts = c.site.parts()
	c.named = map[string]*part{}
	if c.known(&c.site.Name) && strings.TrimSpace(c.site.Name) == "" {
		c.wrong(&c.site.Name, "", "a name")
	}
	for i := range c.parts {
		p := &c.parts[i]
		if !c.known(p.name) {
			continue
		}
		before, taken := c.named[p.Name]
		switch {
		case !plainName.MatchString(p.Name) || strings.TrimSpace(p.Name) != p.Name:
			c.wrong(p.name, "", "a name of letters, digits, spaces, - and _")
		case contains(reserved, p.Name):
			c.wrong(p.name, "every site has a device of this name", "another name")
		case taken:
			c.wrong(p.name, fmt.Sprintf("%s has this name already%s", spelling.Article(before.Kind),
				c.inLine(before.name)), "a name of its own for each part")
			continue
		}
		c.named[p.Name] = p
	}
}

// inLine says where a value stands, for a message about another.
func (c *checker) inLine(p any) string {
	if s, ok := c.spots[p]; ok {
		return fmt.Sprintf(" (line %d)", s.line)
	}
	return ""
}

// water demands that every part is fed from a part with an outlet, and in the end from a supply or a tank.
func (c *checker) water() {
	onCircle := map[*part]bool{}
	for i := range c.parts {
		p := &c.parts[i]
		if p.place == nil {
			continue
		}
		c.reference(&p.place.From, bearing...)
		if circle := circleFrom(p); circle != nil && !onCircle[circle[0]] {
			var way []string
			for _, q := range circle {
				onCircle[q] = true
				way = append(way, strconv.Quote(q.Name))
			}
			c.wrong(&p.place.From, "the water runs in a circle and comes from nowhere: "+strings.Join(append(way,
				way[0]), " from "),
				"a way that begins at a supply or a tank")
		}
	}
	for i := range c.site.Pipes {
		p := &c.site.Pipes[i]
		if to := c.reference(&p.Joins, bearing...); to != nil && (to.entry == any(p) || p.Joins == p.From) {
			c.wrong(&p.Joins, "the pipe begins or ends there anyway", "the outlet of another part")
		}
	}
}

// circleFrom follows the water upstream. If it comes back to the part itself, it returns all parts on the way round.
func circleFrom(p *part) []*part {
	way := []*part{p}
	seen := map[*part]bool{p: true}
	for up := p.inlet; up != nil; up = up.inlet {
		if up == p {
			return way
		}
		if seen[up] {
			return nil // a circle further up, which is reported there
		}
		seen[up] = true
		way = append(way, up)
	}
	return nil
}

// source is the supply or tank that a part is fed from in the end; nil when the way there is broken.
func source(p *part) *part {
	seen := map[*part]bool{}
	for p != nil && p.place != nil && !seen[p] {
		seen[p] = true
		p = p.inlet
	}
	if p == nil || p.place != nil {
		return nil
	}
	return p
}

// passes reports whether the water of a part has come through the part of that name.
func passes(p *part, through string) bool {
	seen := map[*part]bool{}
	for ; p != nil && !seen[p]; p = p.inlet {
		if p.Name == through {
			return true
		}
		seen[p] = true
	}
	return false
}
