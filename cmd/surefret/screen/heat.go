package screen

// Heat paints text in a step of the map of the neck, 0 for unsure to 4 for sure;
// a terminal with few colours leaves it as it is. The text must say the same.
func (l Look) Heat(step int, text string) string {
	return l.paint(heat0+paint(max(0, min(4, step))), text)
}
