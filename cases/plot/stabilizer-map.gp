# Induced drag over the settings of the stabilizer, of map.tsv (twist, incidence, drag, centre of lift, static
# margin, 1 within the limits), with the least of all and the least within the limits. Set what is not the
# demonstration's: rear, the name of the surface; twists, incidences, what to show of them.
if (!exists("rear")) rear = "stabilizer"
if (!exists("twists")) twists = "[-5.05:5.05]"
if (!exists("incidences")) incidences = "[-6.05:4.05]"
map = out."/map.tsv"

# Lines of equal drag and borders of the limits, as tables: the map itself is an image, which has no contours.
set contour base
unset surface
set cntrparam levels incremental ceil(2 * free_drag) / 2.0, 0.5, ceil(free_drag) + 3
set table $levels
splot map using 1:2:3
set cntrparam levels discrete centre_from, centre_to
set table $centre
splot map using 1:2:4
set cntrparam levels discrete least_margin
set table $margin
splot map using 1:2:5
unset table
unset contour

call "cases/plot/style.gp" 900 845 out."/stabilizer-map.svg"
set lmargin at screen 0.085
set rmargin at screen 0.85
set tmargin at screen 0.935
set bmargin at screen 0.265
set title sprintf("Induced drag at settings of the %s: %g kg at %g m/s", rear, mass, speed)
set xrange @twists
set yrange @incidences
set xtics 1
set ytics 1
unset grid
set xlabel "twist of the tips, degrees, nose-up positive"
set ylabel "incidence, degrees, nose-up positive" offset 0.5
set colorbox user origin 0.872, 0.265 size 0.022, 0.67
set cblabel "induced drag of the craft, N (a line each 0.5 N)" textcolor rgb ink
set cbtics textcolor rgb ink
set palette defined (0 "#fbf3df", 0.25 "#cfe3d3", 0.5 "#86bbb1", 0.75 "#3f8791", 1 "#1d4a5f")
set key at screen 0.085, 0.175 left top Left reverse vertical samplen 2.5 spacing 1.35

marked(what, drag, centre, margin) = sprintf("least drag%s: %.2f N, centre of lift ", what, drag). \
    number("%.0f", centre).sprintf(" mm, static margin %.0f %%", margin)
plot map using 1:2:3 with image notitle, \
     $levels using 1:2 with lines linecolor rgb "#5f7f86" linewidth 0.8 notitle, \
     map using ($6 == 1 ? $1 : NaN):2 with points pointtype 7 pointsize 0.16 linecolor rgb "#7d3a20" \
         title "dotted: settings within the limits", \
     $centre using 1:2 with lines linecolor rgb tail linewidth 2.2 \
         title "limits: centre of lift ".number("%g", centre_from)." mm (lower line) and ".number("%g", centre_to)." mm", \
     $margin using 1:2 with lines linecolor rgb ink linewidth 2.2 \
         title sprintf("limit: static margin %g %% of the mean chord", least_margin), \
     "+" using (free_twist):(free_incidence) every ::::0 with points pointtype 7 pointsize 1.3 linecolor rgb ink \
         title marked(" of all", free_drag, free_centre, free_margin), \
     "+" using (kept_twist):(kept_incidence) every ::::0 with points pointtype 5 pointsize 1.3 linecolor rgb tail \
         title marked(" within the limits", kept_drag, kept_centre, kept_margin)
