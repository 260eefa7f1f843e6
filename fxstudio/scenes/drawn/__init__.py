"""The drawn scenes, and the kit of parts, surfaces and light of which they are made."""
