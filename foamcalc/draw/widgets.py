"""Sliders over a drawing function, for notebooks."""

from __future__ import annotations

import html
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

import numpy as np

from foamcalc.guards import finite, one_of, positive

if TYPE_CHECKING:
    from matplotlib.figure import Figure

_DPI = 100
"""Dots per inch of the picture; one dot is one pixel of the screen."""
_WORDS_WIDE = "220px"
"""Room for a slider's words."""


class Slider(NamedTuple):
    """A number that can be moved; a plain tuple in this order will do as well."""

    low: float
    """Lowest value."""
    high: float
    """Highest value, above `low`."""
    step: float
    """From one value to the next, above 0."""
    start: float
    """Value at first, from `low` to `high`."""
    label: str
    """Words beside it, with the unit."""


@dataclass(frozen=True, eq=False)
class LivePicture:
    """A picture under sliders. A notebook shows it when it is the last line of a cell."""

    view: Any
    """All of it: an ipywidgets VBox, to place inside other widgets."""
    sliders: Mapping[str, Any]
    """The FloatSliders by name; setting a `value` draws the picture anew."""
    image: Any
    """The ipywidgets Image."""
    message: Any
    """The ipywidgets HTML that tells of an error; empty when there is none."""
    figure: Figure
    """The one figure that is drawn into."""

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        return self.view._repr_mimebundle_(**kwargs)

    def __repr__(self) -> str:
        values = ", ".join(f"{name}={s.value:g}" for name, s in self.sliders.items())
        return f"LivePicture({values})"


def live_picture(
    draw: Callable[..., object],
    /,
    *,
    width: int = 900,
    height: int = 450,
    on: Literal["axes", "figure"] = "axes",
    continuous: bool = True,
    **sliders: Slider | Sequence[Any],
) -> LivePicture:
    """Put sliders over a drawing function.

    Parameters
    ----------
    draw : callable
        Called as ``draw(ax, **values)`` or ``draw(figure, **values)``, with a value for each
        slider, on an empty Axes or Figure. What it returns is not used.
    width, height : int
        Size of the picture [pixels], above 0.
    on : {"axes", "figure"}
        What `draw` draws on.
    continuous : bool
        Whether to draw while a slider is moved (the browser waits for each picture before it
        asks for the next), or only when it is let go; False is better over a slow `draw`.
    **sliders : Slider or tuple
        ``(low, high, step, start, label)`` by the name of the argument.

    Returns
    -------
    LivePicture
        With ``.sliders``, and ``.view`` to place it in other widgets.

    Raises
    ------
    ValueError
        For no slider, or one whose numbers do not fit each other; and whatever `draw` raises.

    Notes
    -----
    One figure is drawn into again and again, without pyplot, and its PNG is put into an Image.
    An error in `draw` is raised where the slider was set, and shown under the picture, for a
    slider that is moved by hand has no cell to raise it in. The picture then stays as it was.

    Examples
    --------
    >>> from foamcalc.draw import charts
    >>> def sketch(ax, *, turn):
    ...     charts.gap_sketch(ax, base_thickness=10, overlay_thickness=5, turn=turn)
    >>> picture = live_picture(sketch, turn=(0.5, 6, 0.1, 3.1, "turn [rad]"))
    >>> picture.sliders["turn"].value = 1.5
    >>> picture
    LivePicture(turn=1.5)
    """
    import ipywidgets

    one_of(on, "on", ("axes", "figure"))
    figure = _figure(width=width, height=height)
    if not sliders:
        raise ValueError("live_picture needs a slider: name=(low, high, step, start, label)")
    made = {name: _slider(name, spec, continuous) for name, spec in sliders.items()}
    image = ipywidgets.Image(format="png", layout={"width": f"{int(width)}px"})
    message = ipywidgets.HTML()

    def redraw(change: object = None) -> None:
        try:
            image.value = _picture(
                draw, figure, on, {name: slider.value for name, slider in made.items()}
            )
        except Exception as fault:
            message.value = (
                f"<b>{html.escape(type(fault).__name__)}:</b> {html.escape(str(fault))}<br>"
                "The picture still shows the values before."
            )
            raise
        message.value = ""

    redraw()
    for slider in made.values():
        slider.observe(redraw, names="value")
    view = ipywidgets.VBox([*made.values(), image, message])
    return LivePicture(view=view, sliders=made, image=image, message=message, figure=figure)


def _slider(name: str, spec: Sequence[Any], continuous: bool) -> Any:
    """One FloatSlider; numbers that it would bend silently are refused."""
    import ipywidgets

    try:
        low, high, step, start, label = spec
    except (TypeError, ValueError):
        raise ValueError(
            f"slider {name} must be (low, high, step, start, label), got {spec!r}"
        ) from None
    low, high, start = (
        float(finite(v, f"slider {name}: {what}", "1"))
        for v, what in ((low, "low"), (high, "high"), (start, "start"))
    )
    step = float(positive(step, f"slider {name}: step", "1"))
    if not low < high:
        raise ValueError(f"slider {name}: low must be below high, got {low:g} and {high:g}")
    if not low <= start <= high:
        raise ValueError(f"slider {name}: start must be from {low:g} to {high:g}, got {start:g}")
    return ipywidgets.FloatSlider(
        value=start,
        min=low,
        max=high,
        step=step,
        description=str(label),
        continuous_update=continuous,
        readout_format=f".{_decimals(step)}f",
        style={"description_width": _WORDS_WIDE},
        layout={"width": "640px"},
    )


def _decimals(step: float) -> int:
    """How many decimals show every value of a slider, at most 4."""
    return next((k for k in range(4) if abs(step - round(step, k)) < 1e-9), 4)


def _figure(*, width: int, height: int) -> Figure:
    """The figure, with a canvas of its own and no pyplot."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    for name, value in (("width", width), ("height", height)):
        if np.ndim(value) != 0:
            raise ValueError(
                f"{name} is the size of the picture in pixels, got {value!r}; give a slider of "
                f"that name another one, such as strip_{name}"
            )
    wide, tall = (float(positive(v, k, "1")) for v, k in ((width, "width"), (height, "height")))
    figure = Figure(figsize=(wide / _DPI, tall / _DPI), dpi=_DPI, facecolor="white")
    FigureCanvasAgg(figure)
    return figure


def _picture(
    draw: Callable[..., object], figure: Figure, on: str, values: Mapping[str, float]
) -> bytes:
    """The PNG of the figure drawn anew with these values."""
    figure.clear()
    if on == "axes":
        figure.set_layout_engine("constrained")
        draw(figure.add_subplot(), **values)
    else:
        draw(figure, **values)
    page = BytesIO()
    canvas: Any = figure.canvas  # Agg's own writer: no setting for saved figures can trim it
    canvas.print_png(page)
    return page.getvalue()
