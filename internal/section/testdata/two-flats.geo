// A round bar along x with two flats that do not meet, about the axis of the round.
// Lengths in metres, angles in degrees from +y toward +z.
DefineConstant[
  diameter = 0.040,
  normal1 = 0, across1 = 0.015,    // outward normal of flat 1, its distance from the axis
  normal2 = 180, across2 = 0.015,
  length = 0.2,
  divisions = 10,  // elements along each of the four sides of the outline
  layers = 10      // elements along x
];
r = diameter / 2;
a1 = normal1 * Pi / 180; h1 = Acos(across1 / r);
a2 = normal2 * Pi / 180; h2 = Acos(across2 / r);
Point(1) = {-length/2, 0, 0};
Point(2) = {-length/2, r*Cos(a1 - h1), r*Sin(a1 - h1)};
Point(3) = {-length/2, r*Cos(a1 + h1), r*Sin(a1 + h1)};
Point(4) = {-length/2, r*Cos(a2 - h2), r*Sin(a2 - h2)};
Point(5) = {-length/2, r*Cos(a2 + h2), r*Sin(a2 + h2)};
Line(1) = {2, 3};
Circle(2) = {3, 1, 4};
Line(3) = {4, 5};
Circle(4) = {5, 1, 2};
Line Loop(1) = {1, 2, 3, 4};
Plane Surface(1) = {1};
Transfinite Line {1:4} = divisions + 1;
Transfinite Surface {1};
Recombine Surface {1};
e[] = Extrude {length, 0, 0} { Surface{1}; Layers{layers}; Recombine; };
Physical Volume("bar") = {e[1]};
Mesh.ElementOrder = 2;
Mesh.SecondOrderIncomplete = 1;
