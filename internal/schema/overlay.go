package schema

// overlays are what the tables of the types do not say, since it hangs on another
// member or is told by a Validate alone. Each adds to one definition.
var overlays = []struct {
	def string
	lay func(*object)
}{}
