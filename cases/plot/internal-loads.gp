# Shear, bending and torsion of the wings along y, the fuselage along x and the mast along z, of the CSV of a trimmed
# craft with internal loads, out."/internal-loads.csv". Set front and rear where the wings have other names.
if (!exists("front")) front = "front wing"
if (!exists("rear")) rear = "stabilizer"
loads = out."/internal-loads.csv"
caution = "Internal loads are linear estimates for comparison; strength needs a licensed engineer and a test."
call "cases/plot/style.gp" 1000 1040 out."/internal-loads.svg"
set datafile separator comma
stats loads using (factor = column("load_factor"), speed = column("speed_m_s"), angle = column("angle_deg")) nooutput

surface(part, from, figure) = strcol("part") eq part && strcol("from") eq from ? column(figure) : NaN
mast_figure(figure) = strcol("to") eq "board" ? column(figure) : NaN
height = 0.222
left(panel) = panel == 0 ? 0.09 : 0.59
top(row) = 0.915 - 0.302 * row

set multiplot title sprintf("Internal loads at %g times the weight: %g m/s, angle of attack %.2f°", factor, speed, angle) \
    font ",16" textcolor rgb ink offset 0,-0.3
set label 1 caution at screen 0.5, 0.013 center textcolor rgb ink font ",12"
set key at graph 0, 1.02 left bottom horizontal maxrows 1 Left reverse samplen 2 spacing 1.1 width -1 font ",12" # above, clear of any line
set xzeroaxis linecolor rgb ink linewidth 0.8 linetype 1

set lmargin at screen left(0); set rmargin at screen left(0) + 0.395
set tmargin at screen top(0); set bmargin at screen top(0) - height
set xlabel "wings: y, mm to starboard" offset 0,0.4
set xtics 200
set ylabel "flatwise shear, N" offset 0.8
plot for [from in "'port tip' 'starboard tip'"] loads using (surface(front, from, "y_mm")):(column("flatwise_shear_n")) \
         with linespoints linecolor rgb wing linewidth 2.2 pointtype 7 pointsize 0.35 \
         title from eq "port tip" ? front : "", \
     for [from in "'port tip' 'starboard tip'"] loads using (surface(rear, from, "y_mm")):(column("flatwise_shear_n")) \
         with linespoints linecolor rgb tail linewidth 2.2 pointtype 7 pointsize 0.35 \
         title from eq "port tip" ? rear : ""
unset label 1

set lmargin at screen left(1); set rmargin at screen left(1) + 0.395
set ylabel "bending, torsion, N·m"
plot for [from in "'port tip' 'starboard tip'"] loads using (surface(front, from, "y_mm")):(column("flatwise_bending_n_m")) \
         with linespoints linecolor rgb wing linewidth 2.2 pointtype 7 pointsize 0.35 \
         title from eq "port tip" ? "bending" : "", \
     for [from in "'port tip' 'starboard tip'"] loads using (surface(front, from, "y_mm")):(column("torsion_n_m")) \
         with lines linecolor rgb wing linewidth 1.6 dashtype 2 title from eq "port tip" ? "torsion" : "", \
     for [from in "'port tip' 'starboard tip'"] loads using (surface(rear, from, "y_mm")):(column("flatwise_bending_n_m")) \
         with linespoints linecolor rgb tail linewidth 2.2 pointtype 7 pointsize 0.35 \
         notitle, \
     for [from in "'port tip' 'starboard tip'"] loads using (surface(rear, from, "y_mm")):(column("torsion_n_m")) \
         with lines linecolor rgb tail linewidth 1.6 dashtype 2 notitle

set lmargin at screen left(0); set rmargin at screen left(0) + 0.395
set tmargin at screen top(1); set bmargin at screen top(1) - height
set xlabel "fuselage: x, mm aft of the mast axis"
set ylabel "shear, N"
plot loads using (surface("fuselage", "nose", "x_mm")):(column("flatwise_shear_n")) \
         with lines linecolor rgb ink linewidth 2.2 title "from the nose", \
     loads using (surface("fuselage", "tail", "x_mm")):(column("flatwise_shear_n")) \
         with lines linecolor rgb tail linewidth 2.2 title "from the tail"

set lmargin at screen left(1); set rmargin at screen left(1) + 0.395
set ylabel "bending, N·m"
plot loads using (surface("fuselage", "nose", "x_mm")):(column("flatwise_bending_n_m")) \
         with lines linecolor rgb ink linewidth 2.2 title "from the nose", \
     loads using (surface("fuselage", "tail", "x_mm")):(column("flatwise_bending_n_m")) \
         with lines linecolor rgb tail linewidth 2.2 title "from the tail"

set lmargin at screen left(0); set rmargin at screen left(0) + 0.395
set tmargin at screen top(2); set bmargin at screen top(2) - height
set xlabel "mast: z, mm up"
set ylabel "shear, N"
set offsets 0, 0, graph 0.05, graph 0.05
plot loads using (mast_figure("z_mm")):(column("edgewise_shear_n")) \
         with lines linecolor rgb ink linewidth 2.2 title "edgewise", \
     loads using (mast_figure("z_mm")):(column("flatwise_shear_n")) \
         with lines linecolor rgb wing linewidth 2.2 title "flatwise"

set lmargin at screen left(1); set rmargin at screen left(1) + 0.395
set ylabel "bending, torsion, N·m"
plot loads using (mast_figure("z_mm")):(column("edgewise_bending_n_m")) \
         with lines linecolor rgb ink linewidth 2.2 title "edgewise", \
     loads using (mast_figure("z_mm")):(column("flatwise_bending_n_m")) \
         with lines linecolor rgb wing linewidth 2.2 title "flatwise", \
     loads using (mast_figure("z_mm")):(column("torsion_n_m")) \
         with lines linecolor rgb tail linewidth 1.6 dashtype 2 title "torsion"
unset multiplot
