"""One photo with its marks and joint lines, and the tools that draw on it."""

from leaktrack.gui.photo_view.arrow_tool import ArrowTool
from leaktrack.gui.photo_view.drawn_mark import DrawnMark
from leaktrack.gui.photo_view.edit_mark_tool import EditMarkTool, MarkShape
from leaktrack.gui.photo_view.follow_tool import FollowTool
from leaktrack.gui.photo_view.joint_line_tool import JointLineTool
from leaktrack.gui.photo_view.length_tool import LengthTool
from leaktrack.gui.photo_view.navigating import ViewState
from leaktrack.gui.photo_view.outline_tools import FreehandTool, GrowTool, PolygonTool
from leaktrack.gui.photo_view.tool import PlacePointTool, Tool
from leaktrack.gui.photo_view.view import PhotoView

__all__ = [
    "ArrowTool",
    "DrawnMark",
    "EditMarkTool",
    "FollowTool",
    "FreehandTool",
    "GrowTool",
    "JointLineTool",
    "LengthTool",
    "MarkShape",
    "PhotoView",
    "PlacePointTool",
    "PolygonTool",
    "Tool",
    "ViewState",
]
