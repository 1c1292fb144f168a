// Package numeric holds elementary functions that give the same bits on every
// processor.
//
// The functions of the standard math package use whatever instructions the
// processor offers, and a compiler may fuse a product and a sum into one
// rounding, so that the last bit of an exponential differs from machine to
// machine. A simulation amplifies that bit. Here everything is built from
// single additions, products, quotients and roots, each of which IEEE 754
// rounds in exactly one way, every product is wrapped in a float64 conversion,
// which forbids fusing, and the tables are computed from integers when the
// program starts.
//
// All functions are pure and safe for concurrent use. Special values (NaN,
// infinities, zeros) follow the standard math package.
//
// It is no API: it serves the models.
package numeric
