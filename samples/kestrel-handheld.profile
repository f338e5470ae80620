# Panel profile of an invented handheld (Kestrel Yard bench). Give it with --profile.
# Lengths in mm from the top left of the touch area; docs/formats.md explains each name.
width_mm = 68
height_mm = 142
rim_mm = 0.5               # the frame's lip covers this much: no finger gets there
corner_radius_mm = 5
mask = rectangle 26 0 16 2.5 speaker slot
