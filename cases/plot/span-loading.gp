# Load along the span of two surfaces, of loading.tsv: y, local lift coefficient, lift per metre. Set what is not
# the demonstration's: front, rear, their names; front_index, rear_index, which blocks of loading.tsv they are, by
# alphabet from 0; half_span, mm.
if (!exists("front")) front = "front wing"
if (!exists("rear")) rear = "stabilizer"
if (!exists("front_index")) front_index = 0
if (!exists("rear_index")) rear_index = 2
if (!exists("half_span")) half_span = 450
call "cases/plot/style.gp" 900 760 out."/span-loading.svg"
set multiplot
set lmargin at screen 0.105
set rmargin at screen 0.975
set xrange [-half_span:half_span]
set xtics 100

set tmargin at screen 0.925
set bmargin at screen 0.545
set title sprintf("Load along the span: %g kg at %g m/s, angle of attack %.2f°", mass, speed, angle)
set ylabel "local lift coefficient" offset 0.5
set yrange [*:*]
set format x ""
set key at graph 0.5, 0.5 center samplen 3 spacing 1.3
plot out."/loading.tsv" index front_index using 1:2 with linespoints linecolor rgb wing linewidth 2.5 pointtype 7 pointsize 0.45 title front, \
     "" index rear_index using 1:2 with linespoints linecolor rgb tail linewidth 2.5 pointtype 7 pointsize 0.45 title rear

set tmargin at screen 0.49
set bmargin at screen 0.105
unset title
unset key
set format x
set xlabel "y, mm to starboard"
set ylabel "lift, N per metre of span"
plot out."/loading.tsv" index front_index using 1:3 with linespoints linecolor rgb wing linewidth 2.5 pointtype 7 pointsize 0.45, \
     "" index rear_index using 1:3 with linespoints linecolor rgb tail linewidth 2.5 pointtype 7 pointsize 0.45
unset multiplot
