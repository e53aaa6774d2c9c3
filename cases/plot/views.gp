# The craft from three sides with its lattice, of panels.tsv (x, y, z of the corners of each panel in turn) and
# outline.tsv (index 0 the front wing, 1 the mast, 2 the stabilizer: x, y, z of the leading edge, chord).
height = 985.0
call "cases/plot/style.gp" 1000 985 out."/views.svg"
outline = out."/outline.tsv"
panels = out."/panels.tsv"
scale = 0.90 * 1000 / 1640 # pixels for a millimetre: 1640 mm of both views side by side fill 0.9 of the width
from_left(mm) = 0.075 + mm * scale / 1000
from_top(mm) = 0.945 - mm * scale / height
set multiplot
set style fill transparent solid 0.12 noborder
set grid linecolor rgb faint
unset key
mesh = "#7f9199"

# From above.
set lmargin at screen from_left(0)
set rmargin at screen from_left(940)
set tmargin at screen from_top(0)
set bmargin at screen from_top(860)
set xrange [-470:470]
set yrange [620:-240]
set xtics 100
set ytics 100
set title "From above, water coming from the top"
set xlabel ""
set ylabel "x, mm aft of the mast axis" offset 1,0
set key at graph 0.98, 0.60 right center samplen 1.5 spacing 1.3
plot panels using 2:1 with lines linecolor rgb mesh linewidth 0.5 notitle, \
     outline index 0 using 2:1:($1 + $4) with filledcurves linecolor rgb wing notitle, \
     "" index 2 using 2:1:($1 + $4) with filledcurves linecolor rgb tail notitle, \
     "" index 0 using 2:1 with lines linecolor rgb wing linewidth 2.2 title "front wing", \
     "" index 0 using 2:($1 + $4) with lines linecolor rgb wing linewidth 2.2 notitle, \
     "" index 2 using 2:1 with lines linecolor rgb tail linewidth 2.2 title "stabilizer", \
     "" index 2 using 2:($1 + $4) with lines linecolor rgb tail linewidth 2.2 notitle, \
     "+" using (0):(0) every ::::0 with points pointtype 1 pointsize 1.6 linewidth 2 linecolor rgb ink title "mast axis", \
     "+" using (0):(centre) every ::::0 with points pointtype 7 pointsize 1 linecolor rgb ink \
         title sprintf("centre of lift at %.2f°", angle), \
     "+" using (0):(neutral) every ::::0 with points pointtype 6 pointsize 1 linewidth 2 linecolor rgb ink title "neutral point"
unset key

# From the side: the fuselage and the mast up to the still surface.
set lmargin at screen from_left(1110)
set rmargin at screen from_left(1600)
set title "From the side, up to the right"
set xrange [-80:410]
set ylabel ""
set xlabel "z, mm up"
plot panels using 3:1 with lines linecolor rgb mesh linewidth 0.5, \
     outline index 0 using 3:1 with lines linecolor rgb wing linewidth 2.2, \
     "" index 0 using 3:($1 + $4) with lines linecolor rgb wing linewidth 2.2, \
     "" index 2 using 3:1 with lines linecolor rgb tail linewidth 2.2, \
     "" index 2 using 3:($1 + $4) with lines linecolor rgb tail linewidth 2.2, \
     "" index 1 using ($3 > depth + 60 ? NaN : $3):1 with lines linecolor rgb ink linewidth 1, \
     "" index 1 using ($3 > depth + 60 ? NaN : $3):($1 + $4) with lines linecolor rgb ink linewidth 1, \
     "+" using (0):(0) every ::::0 with points pointtype 1 pointsize 1.6 linewidth 2 linecolor rgb ink

# From behind.
set lmargin at screen from_left(0)
set rmargin at screen from_left(940)
set tmargin at screen from_top(1010)
set bmargin at screen from_top(1010 + 490)
set title "From behind, starboard to the right; the still surface as ridden"
set xrange [-470:470]
set yrange [-80:410]
set xlabel "y, mm to starboard"
set ylabel "z, mm up" offset 1,0
plot panels using 2:3 with lines linecolor rgb mesh linewidth 0.5, \
     outline index 0 using 2:3 with lines linecolor rgb wing linewidth 2.2, \
     "" index 2 using 2:3 with lines linecolor rgb tail linewidth 2.2, \
     "" index 1 using 2:($3 > depth ? NaN : $3) with lines linecolor rgb ink linewidth 2.2, \
     depth with lines linecolor rgb "#3b7dd8" linewidth 2, \
     "+" using (0):(0) every ::::0 with points pointtype 1 pointsize 1.6 linewidth 2 linecolor rgb ink
unset multiplot
