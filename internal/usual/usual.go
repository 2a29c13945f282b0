// Package usual knows where contact sites usually are, for solvers to start from.
package usual

import (
	"example.com/fitgeom/contact"
	"gonum.org/v1/gonum/spatial/r3"
)

const siteCount = int(contact.FootRight) + 1

// Places is where each site usually is, in the axes of package contact. Common
// practice, no source; good to a hand's breadth. No two lie level, where a distance would
// not tell up from down.
var Places = func() (at [siteCount]r3.Vec) {
	at[contact.SaddleReference] = r3.Vec{X: -200, Z: 700}
	at[contact.SaddleNose] = r3.Vec{X: -60, Z: 694}
	at[contact.SaddleRear] = r3.Vec{X: -330, Z: 709}
	at[contact.BarClamp] = r3.Vec{X: 460, Z: 620}
	for s, v := range map[contact.Site]r3.Vec{
		contact.TopsLeft: {X: 460, Y: 100, Z: 620}, contact.HoodsLeft: {X: 570, Y: 210, Z: 640}, contact.DropsLeft: {X: 490, Y: 215, Z: 500},
		contact.GripLeft: {X: 460, Y: 350, Z: 640}, contact.PadLeft: {X: 380, Y: 90, Z: 680}, contact.ExtensionLeft: {X: 700, Y: 50, Z: 700},
		contact.PedalLeft: {X: 172, Y: 74}, contact.FootLeft: {X: 172, Y: 120, Z: 20},
	} {
		at[s] = v
		v.Y = -v.Y
		at[s.On(contact.Right)] = v
	}
	return at
}()
