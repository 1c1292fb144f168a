// Package wording takes apart the patterns that the sentences of scenarios are declared by.
//
//	the lead of {contact} breaks             {contact} is filled in
//	at its next {strokes} stroke(s)          letters that may be missing
//	stands/stand in water                    one of two words
//	the pipe {pipe} bursts[ with a hole of {hole}]   a part that may be left out
//
// It is no API: it serves the catalogue of faults and the phrases.
package wording

import "regexp"

// Kind says what a piece of a pattern is.
type Kind uint8

// The kinds of piece.
const (
	Literal     Kind = iota // stands as it is
	Placeholder             // is filled in; Text is its name
	Letters                 // Text may be missing
	Words                   // one of the words of Text, which are joined by strokes
	Begin                   // of a part that may be left out
	End                     // of that part
)

// Piece is one piece of a pattern.
type Piece struct {
	Kind Kind
	Text string
}

var tokens = regexp.MustCompile(`\{[a-z -]+\}|\([a-z]+\)|[a-z]+(?:/[a-z]+)+|\[|\]`)

// Split cuts a pattern into its pieces. Parts that may be left out do not nest.
func Split(pattern string) []Piece {
	var pieces []Piece
	at := 0
	for _, span := range tokens.FindAllStringIndex(pattern, -1) {
		if span[0] > at {
			pieces = append(pieces, Piece{Literal, pattern[at:span[0]]})
		}
		token := pattern[span[0]:span[1]]
		at = span[1]
		switch token[0] {
		case '{':
			pieces = append(pieces, Piece{Placeholder, token[1 : len(token)-1]})
		case '(':
			pieces = append(pieces, Piece{Letters, token[1 : len(token)-1]})
		case '[':
			pieces = append(pieces, Piece{Kind: Begin})
		case ']':
			pieces = append(pieces, Piece{Kind: End})
		default:
			pieces = append(pieces, Piece{Words, token})
		}
	}
	if at < len(pattern) {
		pieces = append(pieces, Piece{Literal, pattern[at:]})
	}
	return pieces
}
