"""How a box radiates: balloons from nominal angles, pistons, polars and measured transfers."""
