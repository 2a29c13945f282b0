package draw

import "strings"

// palette is the colours by name: on light paper, and on dark.
var palette = [][3]string{
	{"paper", "#fbfaf6", "#15191c"},
	{"ink", "#20262b", "#e7e9e4"},
	{"mute", "#5f6870", "#9ba6ac"},
	{"rule", "#dcded8", "#2d3439"},
	{"shade", "#cbcfc8", "#434d54"},
	{"tint", "#e2e8df", "#243029"},
	{"plum", "#7d2f72", "#dd9fd2"},
	{"pine", "#0b655b", "#63c9bb"},
	{"clay", "#96481a", "#eba577"},
}

// Style is the style sheet of all figures.
var Style = style()

func style() string {
	var light, dark strings.Builder
	for _, c := range palette {
		light.WriteString("--" + c[0] + ":" + c[1] + ";")
		dark.WriteString("--" + c[0] + ":" + c[2] + ";")
	}
	var s strings.Builder
	s.WriteString(".fg{" + light.String() + "}\n" +
		"@media (prefers-color-scheme:dark){.fg{" + dark.String() + "}}\n" +
		"@media print{.fg{" + light.String() + "--paper:#fff;max-width:100%;height:auto}}\n")
	for _, r := range [][2]string{
		{".fg path,.fg circle", "fill:none"},
		{".fg .paper", "fill:$paper"},
		{".fg .gap", "fill:$paper"},
		{".fg text", "font:13px sans-serif;fill:$ink;stroke:$paper;stroke-width:4px;stroke-linejoin:round;paint-order:stroke"},
		{".fg .bold", "font-weight:bold"},
		{".fg .quiet", "fill:$mute"},
		{".fg .rule", "stroke:$rule;stroke-width:1"},
		{".fg .edge", "stroke:$mute;stroke-width:1"},
		{".fg .dim", "stroke:$ink;stroke-width:1"},
		{".fg .ext", "stroke:$mute;stroke-width:.7"},
		{".fg .lead", "stroke:$ink;stroke-width:.7"},
		{".fg .wheel", "stroke:$shade;stroke-width:5"},
		{".fg .tube", "stroke:$mute;stroke-width:4;stroke-linecap:round;stroke-linejoin:round"},
		{".fg .faint", "stroke:$shade;stroke-width:4;stroke-linecap:round;stroke-linejoin:round"},
		{".fg .part", "stroke:$ink;stroke-width:2.5;stroke-linecap:round;stroke-linejoin:round"},
		{".fg .ghost", "stroke:$mute;stroke-width:1.6;stroke-dasharray:5 4"},
		{".fg .s1", "stroke:$ink;stroke-width:2"},
		{".fg .s2", "stroke:$clay;stroke-width:2;stroke-dasharray:9 4"},
		{".fg .s3", "stroke:$pine;stroke-width:2.4;stroke-dasharray:2 3"},
		{".fg .move", "stroke:$plum;stroke-width:2"},
		{".fg .cloud", "fill:$tint;fill-opacity:.6;stroke:$pine;stroke-width:1.2"},
		{".fg .field", "fill:$tint;stroke:$pine;stroke-width:1.5;fill-rule:evenodd"},
		{".fg .bar", "fill:$tint;stroke:$pine;stroke-width:1"},
		{".fg .out", "fill:$paper;stroke:$clay;stroke-width:1.5;stroke-dasharray:3 2"},
		{".fg .head", "stroke-dasharray:none;stroke-width:0"},
		{".fg .head.dim,.fg .head.part", "fill:$ink"},
		{".fg .head.move", "fill:$plum"},
		{".fg .mark,.fg .disc", "fill:$plum;stroke:$paper;stroke-width:1"},
		{".fg .ring", "fill:$paper;stroke:$mute;stroke-width:1.3"},
		{".fg .halo", "stroke:$ink;stroke-width:1.5"},
	} {
		s.WriteString(r[0] + "{" + twice(r[1]) + "}\n")
	}
	return s.String()
}

// twice writes each colour as itself and then as a variable: programs that do
// not know variables keep the first.
func twice(rule string) string {
	var all []string
	for d := range strings.SplitSeq(rule, ";") {
		name, value, ok := strings.Cut(d, ":$")
		if !ok {
			all = append(all, d)
			continue
		}
		for _, c := range palette {
			if c[0] == value {
				all = append(all, name+":"+c[1], name+":var(--"+value+")")
			}
		}
	}
	return strings.Join(all, ";")
}
