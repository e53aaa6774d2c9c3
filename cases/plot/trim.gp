# Drag, lift over drag, load station and power of crafts against speed, of the CSV of vlm-trim for each,
# out."/trim-heron-720.csv" and so on, from take-off on. Dashed where the depth Froude number is too low for the
# mirror image of the still surface. Set what is not the demonstration's: crafts, as in the names of the files,
# up to four; labels, how each is called, quoted where there is a blank; heading; the ranges of speed, drag and lift over drag.
if (!exists("crafts")) crafts = "heron-720 heron-880 heron-1050"; labels = "'Heron 720' 'Heron 880' 'Heron 1050'"; \
    heading = "Three sizes of wing under one rider: level flight behind the boat"; \
    speeds = "[3.5:10]"; drags = "[60:*]"; glides = "[7:16]"
if (!exists("labels")) labels = crafts
if (!exists("heading")) heading = "Level flight"
if (!exists("speeds")) speeds = "[*:*]"
if (!exists("drags")) drags = "[*:*]"
if (!exists("glides")) glides = "[*:*]"
call "cases/plot/style.gp" 1000 820 out."/trim.svg"
set datafile separator comma
file(i) = out."/trim-".word(crafts, i).".csv"
colour(i) = i == 1 ? tail : i == 2 ? wing : i == 3 ? ink : "#8a6d3b"
flies(figure) = column("percent_of_lift_limit") <= 100 ? column(figure) : NaN
holds(figure) = strcol("drag_without_image_n") eq "" ? flies(figure) : NaN

height = 0.36
left(panel) = 0.085 + 0.5 * panel
top(row) = 0.915 - 0.46 * row
set multiplot title heading font ",16" textcolor rgb ink \
    offset 0,-0.3
set xrange @speeds
set xtics 1
set key at graph 0.06, 0.97 left top samplen 2.5 spacing 1.2 Left reverse

set lmargin at screen left(0); set rmargin at screen left(0) + 0.395
set tmargin at screen top(0); set bmargin at screen top(0) - height
set ylabel "drag, N" offset 0.5
set yrange @drags
plot for [i = 1:words(crafts)] file(i) using (column("speed_m_s")):(flies("drag_n")) \
         with lines linecolor rgb colour(i) linewidth 1.2 dashtype 2 notitle, \
     for [i = 1:words(crafts)] file(i) using (column("speed_m_s")):(holds("drag_n")) \
         with lines linecolor rgb colour(i) linewidth 2.4 title word(labels, i), \
     NaN with lines linecolor rgb ink linewidth 1.2 dashtype 2 title "depth Froude number below 3"
unset key

set lmargin at screen left(1); set rmargin at screen left(1) + 0.395
set ylabel "lift over drag"
set yrange @glides
plot for [i = 1:words(crafts)] file(i) using (column("speed_m_s")):(flies("lift_to_drag")) \
         with lines linecolor rgb colour(i) linewidth 1.2 dashtype 2, \
     for [i = 1:words(crafts)] file(i) using (column("speed_m_s")):(holds("lift_to_drag")) \
         with lines linecolor rgb colour(i) linewidth 2.4

set lmargin at screen left(0); set rmargin at screen left(0) + 0.395
set tmargin at screen top(1); set bmargin at screen top(1) - height
set xlabel "speed, m/s" offset 0,0.3
set ylabel "load station, mm aft of the mast axis" offset 0.6
set yrange [*:*]
plot for [i = 1:words(crafts)] file(i) using (column("speed_m_s")):(flies("load_station_mm")) \
         with lines linecolor rgb colour(i) linewidth 1.2 dashtype 2, \
     for [i = 1:words(crafts)] file(i) using (column("speed_m_s")):(holds("load_station_mm")) \
         with lines linecolor rgb colour(i) linewidth 2.4

set lmargin at screen left(1); set rmargin at screen left(1) + 0.395
set ylabel "power, W" offset 1.2
set yrange [0:*]
set ytics 200
plot for [i = 1:words(crafts)] file(i) using (column("speed_m_s")):(flies("power_w")) \
         with lines linecolor rgb colour(i) linewidth 1.2 dashtype 2, \
     for [i = 1:words(crafts)] file(i) using (column("speed_m_s")):(holds("power_w")) \
         with lines linecolor rgb colour(i) linewidth 2.4
unset multiplot
