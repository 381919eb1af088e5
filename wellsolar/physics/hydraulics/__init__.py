"""Water and what moves it: pipe, fittings, pumps, pressure tank, demand."""
