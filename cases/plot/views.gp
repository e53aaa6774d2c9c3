# The craft from above and from the front, of outline.tsv: x, y, z of the leading edge, chord, 1 at a station.
height = 1180.0
call "cases/plot/style.gp" 900 1180 out."/views.svg"
outline = out."/outline.tsv"
stretch = 4.0
scale = 0.87 * 900 / 940 # pixels for a millimetre: 940 mm fill 0.87 of the width
station(flag, value) = flag == 1 ? value : NaN
set multiplot
set lmargin at screen 0.105
set rmargin at screen 0.975
set xrange [-470:470]
set xtics 100

set tmargin at screen 0.95
set bmargin at screen 0.95 - 800 * scale / height
set title "Craft from above, water coming from the top; one scale both ways"
set yrange [580:-220]
set ytics 100
set ylabel "x, mm aft of the mast axis"
set style fill transparent solid 0.18 noborder
set key at graph 0.985, 0.62 right center samplen 2 spacing 1.35
plot outline index 0 using 2:1:($1 + $4) with filledcurves linecolor rgb wing notitle, \
     "" index 1 using 2:1:($1 + $4) with filledcurves linecolor rgb tail notitle, \
     "" index 0 using 2:1:(0):(station($5, $4)) with vectors nohead linecolor rgb wing linewidth 1 notitle, \
     "" index 1 using 2:1:(0):(station($5, $4)) with vectors nohead linecolor rgb tail linewidth 1 notitle, \
     "" index 0 using 2:1 with lines linecolor rgb wing linewidth 2.2 title "front wing", \
     "" index 0 using 2:($1 + $4) with lines linecolor rgb wing linewidth 2.2 notitle, \
     "" index 1 using 2:1 with lines linecolor rgb tail linewidth 2.2 title "stabilizer", \
     "" index 1 using 2:($1 + $4) with lines linecolor rgb tail linewidth 2.2 notitle, \
     "+" using (0):(0) every ::::0 with points pointtype 1 pointsize 1.6 linewidth 2 linecolor rgb ink title "mast axis", \
     "+" using (0):(centre) every ::::0 with points pointtype 7 pointsize 1 linecolor rgb ink \
         title sprintf("centre of lift at %.2f°", angle), \
     "+" using (0):(neutral) every ::::0 with points pointtype 6 pointsize 1 linewidth 2 linecolor rgb ink title "neutral point"

set bmargin at screen 0.07
set tmargin at screen 0.07 + 80 * stretch * scale / height
set title sprintf("Front-view curves (leading edges), starboard to the right; z stretched %g times", stretch)
set xlabel "y, mm to starboard"
set ylabel sprintf("z, mm up (× %g)", stretch)
set yrange [-60:20]
set ytics 20
unset key
plot outline index 0 using 2:3 with lines linecolor rgb wing linewidth 2.2, \
     "" index 1 using 2:3 with lines linecolor rgb tail linewidth 2.2, \
     "" index 0 using 2:(station($5, $3)) with points pointtype 7 pointsize 0.45 linecolor rgb wing, \
     "" index 1 using 2:(station($5, $3)) with points pointtype 7 pointsize 0.45 linecolor rgb tail, \
     "+" using (0):(0) every ::::0 with points pointtype 1 pointsize 1.6 linewidth 2 linecolor rgb ink
unset multiplot
