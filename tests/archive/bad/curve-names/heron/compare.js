engine speed [rpm],torque [N m]
