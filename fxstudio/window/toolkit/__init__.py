"""A small toolkit for windows drawn by pygame. Nothing here knows what an effect is.

What it is: widgets that are built anew whenever what they show has changed, and laid out by
rows and columns. `theme` holds colours, fonts and distances; `widget` what all widgets share;
`parts`, `layout` and `frames` give everything its area; `controls/` are the widgets that a
person works; `form` puts labels beside them; `page` has the focus, passes events on, holds what
lies on top, and draws with `painting`. A widget goes on from the one of the same key in the page
before, so that a drag or a half-typed line outlives it. All can be reached with Tab, and Space or
Enter works it.

What it is not: a general toolkit. There is one window, text in one font and from left to right,
one line of text to type in, and no animation, menu, tooltip or style of a platform. Screen
readers cannot read it. What only this program needs (effects, decoders, pictures) stands one
folder above.
"""
