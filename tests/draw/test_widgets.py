"""Sliders over a drawing function: what is set is what is drawn, and errors are not lost."""

from __future__ import annotations

import sys
from io import BytesIO

import numpy as np
import pytest
from matplotlib.image import imread

from foamcalc.draw.widgets import LivePicture, Slider, live_picture

pytest.importorskip("ipywidgets")


def wedge(ax, *, share):
    """Black from the left up to a share of the width."""
    ax.figure.set_layout_engine(None)
    ax.set_position((0, 0, 1, 1))
    ax.set_axis_off()
    ax.set(xlim=(0, 1), ylim=(0, 1))
    ax.axvspan(0, share, color="black", linewidth=0)


SHARE = (0.0, 1.0, 0.1, 0.2, "share of the width")


def black_share(live):
    """Share of the picture's middle row that is black, read from its PNG."""
    picture = imread(BytesIO(live.image.value), format="png")
    return float((picture[len(picture) // 2, :, :3].mean(-1) < 0.5).mean())


def test_the_picture_follows_the_slider():
    """Exact by hand: the black share of the picture is the slider's value."""
    live = live_picture(wedge, share=SHARE)
    for value in (None, 0.7, 0.1, 1.0):
        if value is not None:
            live.sliders["share"].value = value
        assert black_share(live) == pytest.approx(live.sliders["share"].value, abs=0.002)


def test_the_size_is_the_size_asked_for():
    live = live_picture(wedge, width=700, height=300, share=SHARE)
    assert imread(BytesIO(live.image.value), format="png").shape[:2] == (300, 700)
    assert live.image.layout.width == "700px"


def test_one_figure_is_used_again_and_no_pyplot():
    """A picture left over from before would show through; pyplot would keep a figure open."""
    import matplotlib.pyplot as plt

    before = plt.get_fignums()
    figures = []

    def draw(ax, *, share):
        figures.append(ax.figure)
        wedge(ax, share=share)

    live = live_picture(draw, share=SHARE)
    live.sliders["share"].value = 0.9
    live.sliders["share"].value = 0.3
    assert len(figures) == 3 and set(figures) == {live.figure}
    assert len(live.figure.axes) == 1 and black_share(live) == pytest.approx(0.3, abs=0.002)
    assert plt.get_fignums() == before


def test_the_same_values_give_the_same_bytes():
    live = live_picture(wedge, share=SHARE)
    first = live.image.value
    live.sliders["share"].value = 0.8
    assert live.image.value != first
    live.sliders["share"].value = 0.2
    assert live.image.value == first


def test_a_function_may_draw_on_the_whole_figure():
    def two(figure, *, left, right):
        for ax, share in zip(figure.subplots(1, 2), (left, right), strict=True):
            ax.set_title(f"{share:.1f}")

    live = live_picture(two, on="figure", left=SHARE, right=Slider(0, 1, 0.1, 0.5, "right"))
    live.sliders["right"].value = 0.9
    assert [ax.get_title() for ax in live.figure.axes] == ["0.2", "0.9"]


def test_every_slider_is_told_apart_and_labelled():
    seen = []
    live = live_picture(
        lambda ax, **values: seen.append(values),
        cut=(160, 200, 0.5, 173, "cut [mm]"),
        turn=Slider(low=10, high=360, step=5, start=180, label="turn [degrees]"),
    )
    live.sliders["turn"].value = 90
    assert seen == [{"cut": 173, "turn": 180}, {"cut": 173, "turn": 90}]
    assert list(live.sliders) == ["cut", "turn"]
    assert [s.description for s in live.sliders.values()] == ["cut [mm]", "turn [degrees]"]
    assert [s.readout_format for s in live.sliders.values()] == [".1f", ".0f"]
    assert all(s.continuous_update for s in live.sliders.values())
    assert list(live.view.children) == [*live.sliders.values(), live.image, live.message]


def test_drawing_can_wait_until_the_slider_is_let_go():
    live = live_picture(wedge, continuous=False, share=SHARE)
    assert not live.sliders["share"].continuous_update


def test_an_error_surfaces_and_is_shown_and_goes_away():
    def touchy(ax, *, share):
        if share > 0.5:
            raise ValueError("share <too> much")
        wedge(ax, share=share)

    live = live_picture(touchy, share=SHARE)
    good = live.image.value
    with pytest.raises(ValueError, match="share <too> much"):
        live.sliders["share"].value = 0.9
    assert "ValueError" in live.message.value and "share &lt;too&gt; much" in live.message.value
    assert live.image.value == good
    live.sliders["share"].value = 0.4
    assert live.message.value == "" and black_share(live) == pytest.approx(0.4, abs=0.002)


def test_an_error_in_the_first_picture_is_raised_at_once():
    with pytest.raises(ZeroDivisionError):
        live_picture(lambda ax, *, share: 1 / 0, share=SHARE)


def test_a_users_own_settings_do_not_trim_the_picture():
    import matplotlib

    with matplotlib.rc_context({"savefig.bbox": "tight", "savefig.dpi": 30}):
        live = live_picture(wedge, width=500, height=200, share=SHARE)
    assert imread(BytesIO(live.image.value), format="png").shape[:2] == (200, 500)


def test_a_notebook_shows_it():
    live = live_picture(wedge, share=SHARE)
    shown = live._repr_mimebundle_()
    shown = shown[0] if isinstance(shown, tuple) else shown
    assert "application/vnd.jupyter.widget-view+json" in shown
    assert isinstance(live, LivePicture) and repr(live) == "LivePicture(share=0.2)"


@pytest.mark.parametrize(
    ("sliders", "message"),
    [
        ({}, "live_picture needs a slider"),
        ({"share": (0, 1, 0.1, 0.2)}, "slider share must be .low, high, step, start, label."),
        ({"share": 0.5}, "slider share must be"),
        ({"share": (1, 0, 0.1, 0.2, "x")}, "slider share: low must be below high, got 1 and 0"),
        ({"share": (0, 1, 0.1, 2, "x")}, "slider share: start must be from 0 to 1, got 2"),
        ({"share": (0, 1, 0, 0.2, "x")}, "slider share: step must be .* above 0"),
        ({"share": (0, float("inf"), 1, 0, "x")}, "slider share: high must be a finite number"),
        ({"width": (10, 50, 1, 20, "width [mm]")}, "such as strip_width"),
        ({"share": SHARE, "width": 0}, "width must be a finite number above 0"),
        ({"share": SHARE, "on": "page"}, "on must be one of 'axes', 'figure', got 'page'"),
    ],
)
def test_bad_input_is_refused(sliders, message):
    """The widget itself would move a start outside its ends without a word."""
    with pytest.raises(ValueError, match=message):
        live_picture(wedge, **sliders)


def test_importing_loads_no_widgets():
    import subprocess

    code = "import sys, foamcalc.draw.widgets as w; print('ipywidgets' in sys.modules, w.Slider)"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.startswith("False")


def test_the_slider_keeps_a_start_that_is_not_on_a_step():
    """Exact by hand: 172.788 is between steps of 0.5 and is drawn as it is."""
    seen = []
    live = live_picture(
        lambda ax, *, cut: seen.append(cut), cut=(172.788, 196.35, 0.5, 172.788, "cut [mm]")
    )
    live.sliders["cut"].value = 196.35
    np.testing.assert_allclose(seen, [172.788, 196.35], rtol=1e-12)
