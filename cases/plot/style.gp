# The look of all pictures: gnuplot calls it with the width and height in pixels and the name of the file.
set terminal svg size ARG1, ARG2 dynamic enhanced font "DejaVu Sans,Verdana,sans-serif,14" background "#ffffff"
set output ARG3
set encoding utf8
set minussign
number(form, x) = (x < 0 ? "−" : "").sprintf(form, abs(x))
ink = "#2f3e46"; faint = "#d5dcdf"; wing = "#1b6f7a"; tail = "#c4623f"
set border 3 linecolor rgb ink linewidth 1
set tics nomirror out scale 0.6 textcolor rgb ink
set grid linecolor rgb faint linewidth 1 dashtype 1
set title textcolor rgb ink offset 0,-0.2
set key textcolor rgb ink
set xlabel textcolor rgb ink
set ylabel textcolor rgb ink
