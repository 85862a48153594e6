// A box tube of a rectangle's outline, width along y and height along z, all
// corners rounded, drawn along x about the origin. Lengths in metres.
DefineConstant[
  width = 0.060, height = 0.040, wall = 0.003, radius = 0.006,
  length = 0.4,
  divisions = 10,  // elements along each face
  corner = 4,      // elements along each rounded corner
  through = 2,     // elements through the wall
  layers = 10      // elements along x
];
// loop 0 is the outer one, loop 1 the inner one; of each corner the centre and
// the ends of its arc, counted from the corner +y +z toward -y
For k In {0:3}
  sy = (k == 0 || k == 3) ? 1 : -1;
  sz = (k < 2) ? 1 : -1;
  cy = sy * (width / 2 - radius);
  cz = sz * (height / 2 - radius);
  Point(10*k + 1) = {-length/2, cy, cz};
  For i In {0:1}
    r = radius - i * wall;
    // the first end in the sense of growing angle lies on the face of +-y where k is even
    If (k == 0 || k == 2)
      Point(10*k + 2 + 2*i) = {-length/2, cy + sy*r, cz};
      Point(10*k + 3 + 2*i) = {-length/2, cy, cz + sz*r};
    Else
      Point(10*k + 2 + 2*i) = {-length/2, cy, cz + sz*r};
      Point(10*k + 3 + 2*i) = {-length/2, cy + sy*r, cz};
    EndIf
    Circle(10*k + 1 + i) = {10*k + 2 + 2*i, 10*k + 1, 10*k + 3 + 2*i};
  EndFor
  Line(10*k + 5) = {10*k + 2, 10*k + 4};
  Line(10*k + 6) = {10*k + 3, 10*k + 5};
EndFor
For k In {0:3}
  n = (k + 1) % 4;
  Line(10*k + 3) = {10*k + 3, 10*n + 2};
  Line(10*k + 4) = {10*k + 5, 10*n + 4};
  Line Loop(10*k + 1) = {10*k + 1, 10*k + 6, -(10*k + 2), -(10*k + 5)};
  Line Loop(10*k + 2) = {10*k + 3, 10*n + 5, -(10*k + 4), -(10*k + 6)};
  Plane Surface(10*k + 1) = {10*k + 1};
  Plane Surface(10*k + 2) = {10*k + 2};
EndFor
For k In {0:3}
  Transfinite Line {10*k + 1, 10*k + 2} = corner + 1;
  Transfinite Line {10*k + 3, 10*k + 4} = divisions + 1;
  Transfinite Line {10*k + 5, 10*k + 6} = through + 1;
EndFor
all[] = Surface "*";
Transfinite Surface {all[]};
Recombine Surface {all[]};
bar[] = {};
For k In {0:#all[]-1}
  e[] = Extrude {length, 0, 0} { Surface{all[k]}; Layers{layers}; Recombine; };
  bar[] += e[1];
EndFor
Physical Volume("bar") = {bar[]};
Mesh.ElementOrder = 2;
Mesh.SecondOrderIncomplete = 1;
