package surge

// moduli are the moduli of elasticity of pipe walls for a short load, Pa, by the names that a site file gives to
// materials. The plastics are stiffer in a surge than in a creep test; their figures spread by a quarter.
var moduli = map[string]float64{
	"polyethylene":              0.8e9, // PE 80 and PE 100, 0.7 to 1.1 GPa (from memory)
	"low-density-polyethylene":  0.2e9, // drip tube, 0.15 to 0.3 GPa (from memory)
	"pvc":                       3e9,   // PVC-U, 2.7 to 3.3 GPa (from memory)
	"copper":                    120e9, // 110 to 130 GPa (from memory)
	"steel":                     207e9, // 200 to 210 GPa (from memory)
	"cross-linked-polyethylene": 0.9e9, // 0.6 to 1.2 GPa (from memory)
}

// Modulus is the modulus of elasticity of a material of the site file, Pa; 0 for one that is not known.
func Modulus(material string) float64 { return moduli[material] }
