# Time and memory of systems against unknowns, of the `table` of tests/bench/growth/run: hierarchical, and dense.
call "cases/plot/style.gp" 1000 460 out."/growth.svg"
set datafile separator tab
set logscale xy
set format x "%.0s%c"
set xlabel "unknowns, unsymmetric" offset 0,0.3
set xrange [800:160000]
set key at graph 0.05, 0.95 left top samplen 2.5 spacing 1.2 Left reverse
set multiplot title "A system and a solve for one cause, two threads" font ",16" textcolor rgb ink offset 0,-0.3
set tmargin at screen 0.87; set bmargin at screen 0.14
set lmargin at screen 0.085; set rmargin at screen 0.48
set ylabel "time, s" offset 0.5
plot table using 1:2 with linespoints linecolor rgb wing linewidth 2.4 pointtype 7 pointsize 0.6 title "hierarchical", \
     table using 1:4 with linespoints linecolor rgb tail linewidth 2.4 pointtype 7 pointsize 0.6 title "dense"
set lmargin at screen 0.585; set rmargin at screen 0.98
set ylabel "greatest memory, MB" offset 0.5
plot table using 1:3 with linespoints linecolor rgb wing linewidth 2.4 pointtype 7 pointsize 0.6 title "hierarchical", \
     table using 1:5 with linespoints linecolor rgb tail linewidth 2.4 pointtype 7 pointsize 0.6 title "dense"
unset multiplot
